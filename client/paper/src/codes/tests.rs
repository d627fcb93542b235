//! What the sheet shows, read back by decoders that are not ours.

use rxing::{BarcodeFormat, helpers::detect_in_luma};

use super::*;

/// The black rectangles of a drawing's path as a picture, so many pixels a module.
fn picture(path: &str, width: usize, height: usize, scale: usize) -> Vec<u8> {
    let mut pixels = vec![255; width * height * scale * scale];
    for rect in path.split('M').filter(|rect| !rect.is_empty()) {
        let numbers: Vec<usize> = rect
            .split(|c: char| !c.is_ascii_digit())
            .filter(|n| !n.is_empty())
            .map(|n| n.parse().unwrap())
            .collect();
        let [x, y, w, h, back] = numbers[..] else { panic!("{rect}") };
        assert_eq!(w, back, "{rect}");
        for row in y * scale..(y + h) * scale {
            let start = row * width * scale;
            pixels[start + x * scale..start + (x + w) * scale].fill(0);
        }
    }
    pixels
}

/// Path, width and height of a drawing.
fn drawn(markup: &Markup) -> (String, usize, usize) {
    let text = &markup.0;
    let part = |from: &str| text.split(from).nth(1).unwrap().split('"').next().unwrap().to_owned();
    let view = part("viewBox=\"");
    let sides: Vec<usize> = view.split(' ').skip(2).map(|n| n.parse().unwrap()).collect();
    (part(" d=\""), sides[0], sides[1])
}

/// What a reader of bar codes reads in a drawing.
pub(crate) fn read_bars(markup: &Markup) -> String {
    let (path, width, height) = drawn(markup);
    let pixels = picture(&path, width, height, 3);
    let (wide, tall) = (u32::try_from(width * 3).unwrap(), u32::try_from(height * 3).unwrap());
    let read = detect_in_luma(pixels, wide, tall, Some(BarcodeFormat::CODE_128)).unwrap();
    read.getText().to_owned()
}

/// What a reader of QR codes reads in a drawing.
pub(crate) fn read_square(markup: &Markup) -> String {
    let (path, width, height) = drawn(markup);
    let pixels = picture(&path, width, height, 4);
    let read = |x: usize, y: usize| pixels[y * width * 4 + x];
    let mut image = rqrr::PreparedImage::prepare_from_greyscale(width * 4, height * 4, read);
    let grids = image.detect_grids();
    assert_eq!(grids.len(), 1);
    grids[0].decode().unwrap().1
}

#[test]
fn every_bar_code_of_the_sheet_reads_back_as_its_word() {
    let places = ["pot-1", "rack-2", "freezer-1"].map(str::to_owned);
    let codes: Vec<Code> = groups(&places).into_iter().flat_map(|group| group.codes).collect();
    assert!(codes.len() > 40, "{}", codes.len());
    for code in &codes {
        assert_eq!(read_bars(&bar_drawing(&code.word).unwrap()), code.word);
    }
}

#[test]
fn every_qr_code_of_the_sheet_reads_back_as_its_word() {
    for code in groups(&["tub-1".to_owned()]).into_iter().flat_map(|group| group.codes) {
        assert_eq!(read_square(&square_drawing(&code.word).unwrap()), code.word);
    }
}

#[test]
fn a_page_escapes_and_loads_nothing() {
    let page = page("Crooked <Lantern>", &groups(&["pot-1".to_owned()])).unwrap();
    assert!(page.contains("Crooked &lt;Lantern&gt;") && page.contains("STRIKE"), "{page}");
    assert!(!page.contains("src=") && !page.contains("href="));
}

#[test]
fn a_word_that_no_bar_code_has_says_so() {
    assert!(bars("k\u{fc}che").unwrap_err().to_string().contains("rename the place"));
}

/// The worked example "abcdef" in set B, published at barcoderesource.com, "Calculation of Code128
/// Check Character", by the rule of ISO/IEC 15417: 104 + 65 + 66*2 + ... + 70*6 = 1539, and 1539 modulo
/// 103 is 97. The bars of value 97 are from memory of that standard's table.
#[test]
fn the_check_character_is_that_of_the_published_example() {
    let bars = bars("abcdef").unwrap();
    let check: String =
        bars[7 * 11..8 * 11].iter().map(|black| if *black { '1' } else { '0' }).collect();
    assert_eq!(check, "11110101000");
    assert_eq!(bars.len(), 9 * 11 + 2, "start, six, check, stop and its last bar");
}
