// It rings: a tone of our own, once the hand allowed it, and the lines on top until they are heard.
{
}
