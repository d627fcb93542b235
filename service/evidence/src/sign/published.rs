//! Published signatures, and those that lax checks take.

use super::*;

/// RFC 8032, section 7.1: seed, public key, message, and the two halves of the signature. The message of the
/// last is SHA-512 of "abc". Written from memory; another library (pyca/cryptography 48) makes the same.
const RFC_8032: [[&str; 5]; 3] = [
    [
        "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
        "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
        "",
        "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e06522490155",
        "5fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
    ],
    [
        "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
        "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
        "af82",
        "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac",
        "18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a",
    ],
    [
        "833fe62409237b9d62ec77587520911e9a759cec1d19755b7da901b96dca3d42",
        "ec172b93ad5e563bf4932c70e1245034c35467ef2efd4d64ebf819683467e2bf",
        "ddaf35a193617abacc417349ae20413112e6fa4e89a97ea20a9eeee64b55d39a\
         2192992a274fc1a836ba3c23a3feebbd454d4423643ce80e2a9ac94fa54ca49f",
        "dc2a4459e7369633a52b1bf277839a00201009a3efbf3ecb69bea2186c26b589",
        "09351fc9ac90b3ecfdfbc7c66431e0303dca179c138ac17ad9bef1177331a704",
    ],
];

#[test]
fn the_vectors_of_the_standard_are_signed_and_checked() {
    for [seed, public, message, first, second] in RFC_8032 {
        let key = BenchKey::from_seed(hex_text::read(seed).unwrap());
        assert_eq!(key.public().to_string(), public);
        let message = hex::decode(message).unwrap();
        let signature = key.0.sign(&message).to_bytes();
        assert_eq!(hex::encode(signature), format!("{first}{second}"));
        assert_eq!(key.public().check(&message, &Signature(signature)), Ok(()));
    }
}

/// Every case of novifinancial/ed25519-speccheck (`cases.json`): message, key, point and scalar of the
/// signature. Keys and points of small order, of mixed order, scalars that were not reduced, encodings that
/// are not canonical.
const LAX: [(&str, &str, &str, &str); 15] = [
    (
        "2a66241a42a9ee12994d8068dcf1bb7dfc6637b45450acd43711f637fa5080fc",
        "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac03fa",
        "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac037a",
        "0000000000000000000000000000000000000000000000000000000000000000",
    ),
    (
        "8c93255d71dcab10e8f379c26200f3c7bd5f09d9bc3068d3ef4edeb4853022b6",
        "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac03fa",
        "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac037a",
        "0000000000000000000000000000000000000000000000000000000000000000",
    ),
    (
        "9bedc267423725d473888631ebf45988bad3db83851ee85c85e241a07d148b41",
        "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac03fa",
        "f7badec5b8abeaf699583992219b7b223f1df3fbbea919844e3f7c554a43dd43",
        "a5bb704786be79fc476f91d3f3f89b03984d8068dcf1bb7dfc6637b45450ac04",
    ),
    (
        "9bd9f44f4dcc75bd531b56b2cd280b0bb38fc1cd6d1230e14861d861de092e79",
        "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac03fa",
        "f7badec5b8abeaf699583992219b7b223f1df3fbbea919844e3f7c554a43dd43",
        "a5bb704786be79fc476f91d3f3f89b03984d8068dcf1bb7dfc6637b45450ac04",
    ),
    (
        "9bedc267423725d473888631ebf45988bad3db83851ee85c85e241a07d148b41",
        "f7badec5b8abeaf699583992219b7b223f1df3fbbea919844e3f7c554a43dd43",
        "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac03fa",
        "182ef1a5b928da07fec769cc8a12db6bcf70dab3f3227fa315e9d5e3e01a3405",
    ),
    (
        "aebf3f2601a0c8c5d39cc7d8911642f740b78168218da8471772b35f9d35b9ab",
        "f7badec5b8abeaf699583992219b7b223f1df3fbbea919844e3f7c554a43dd43",
        "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac03fa",
        "8c4bd45aecaca5b24fb97bc10ac27ac8751a7dfe1baff8b953ec9f5833ca260e",
    ),
    (
        "9bd9f44f4dcc75bd531b56b2cd280b0bb38fc1cd6d1230e14861d861de092e79",
        "cdb267ce40c5cd45306fa5d2f29731459387dbf9eb933b7bd5aed9a765b88d4d",
        "9046a64750444938de19f227bb80485e92b83fdb4b6506c160484c016cc1852f",
        "87909e14428a7a1d62e9f22f3d3ad7802db02eb2e688b6c52fcd6648a98bd009",
    ),
    (
        "e47d62c63f830dc7a6851a0b1f33ae4bb2f507fb6cffec4011eaccd55b53f56c",
        "cdb267ce40c5cd45306fa5d2f29731459387dbf9eb933b7bd5aed9a765b88d4d",
        "160a1cb0dc9c0258cd0a7d23e94d8fa878bcb1925f2c64246b2dee1796bed512",
        "5ec6bc982a269b723e0668e540911a9a6a58921d6925e434ab10aa7940551a09",
    ),
    (
        "e47d62c63f830dc7a6851a0b1f33ae4bb2f507fb6cffec4011eaccd55b53f56c",
        "cdb267ce40c5cd45306fa5d2f29731459387dbf9eb933b7bd5aed9a765b88d4d",
        "21122a84e0b5fca4052f5b1235c80a537878b38f3142356b2c2384ebad4668b7",
        "e40bc836dac0f71076f9abe3a53f9c03c1ceeeddb658d0030494ace586687405",
    ),
    (
        "85e241a07d148b41e47d62c63f830dc7a6851a0b1f33ae4bb2f507fb6cffec40",
        "442aad9f089ad9e14647b1ef9099a1ff4798d78589e66f28eca69c11f582a623",
        "e96f66be976d82e60150baecff9906684aebb1ef181f67a7189ac78ea23b6c0e",
        "547f7690a0e2ddcd04d87dbc3490dc19b3b3052f7ff0538cb68afb369ba3a514",
    ),
    (
        "85e241a07d148b41e47d62c63f830dc7a6851a0b1f33ae4bb2f507fb6cffec40",
        "442aad9f089ad9e14647b1ef9099a1ff4798d78589e66f28eca69c11f582a623",
        "8ce5b96c8f26d0ab6c47958c9e68b937104cd36e13c33566acd2fe8d38aa1942",
        "7e71f98a473474f2f13f06f97c20d58cc3f54b8bd0d272f42b695dd7e89a8c22",
    ),
    (
        "9bedc267423725d473888631ebf45988bad3db83851ee85c85e241a07d148b41",
        "f7badec5b8abeaf699583992219b7b223f1df3fbbea919844e3f7c554a43dd43",
        "ecffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff",
        "03be9678ac102edcd92b0210bb34d7428d12ffc5df5f37e359941266a4e35f0f",
    ),
    (
        "9bedc267423725d473888631ebf45988bad3db83851ee85c85e241a07d148b41",
        "f7badec5b8abeaf699583992219b7b223f1df3fbbea919844e3f7c554a43dd43",
        "ecffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff",
        "ca8c5b64cd208982aa38d4936621a4775aa233aa0505711d8fdcfdaa943d4908",
    ),
    (
        "e96b7021eb39c1a163b6da4e3093dcd3f21387da4cc4572be588fafae23c155b",
        "ecffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff",
        "a9d55260f765261eb9b84e106f665e00b867287a761990d7135963ee0a7d59dc",
        "a5bb704786be79fc476f91d3f3f89b03984d8068dcf1bb7dfc6637b45450ac04",
    ),
    (
        "39a591f5321bbe07fd5a23dc2f39d025d74526615746727ceefd6e82ae65c06f",
        "ecffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff",
        "a9d55260f765261eb9b84e106f665e00b867287a761990d7135963ee0a7d59dc",
        "a5bb704786be79fc476f91d3f3f89b03984d8068dcf1bb7dfc6637b45450ac04",
    ),
];

/// The one that is good by the plain equation, all its points being of large order; that project's
/// `results.md` has it taken by all that are strict, and no other.
const GOOD: usize = 6;

#[test]
fn of_what_lax_checks_take_only_the_good_one_is_taken() {
    for (i, (message, key, point, scalar)) in LAX.into_iter().enumerate() {
        let key = PublicKey(hex_text::read(key).unwrap());
        let signature = hex::decode([point, scalar].concat()).unwrap();
        let signature = Signature(signature.try_into().unwrap());
        let message = hex::decode(message).unwrap();
        assert_eq!(key.check(&message, &signature).is_ok(), i == GOOD, "case {i}");
    }
}

/// The same keys and points in the check that is made ready once: it puts a line before the message, so
/// only what is turned away whatever the message is can be tried.
#[test]
fn a_key_made_ready_turns_the_same_keys_and_points_away() {
    for (i, (_, key, point, scalar)) in LAX.into_iter().enumerate() {
        let signature = hex::decode([point, scalar].concat()).unwrap();
        let signature = Signature(signature.try_into().unwrap());
        let Ok(ready) = PublicKey(hex_text::read(key).unwrap()).ready() else { continue };
        assert_eq!(ready.check_entry(b"wash 0417", &signature), Err(BadSignature), "case {i}");
    }
}
