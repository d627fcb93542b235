//! Turns the schema into code with no protoc at hand.

use std::{env, error::Error, fs, path::PathBuf};

use prost::Message as _;

fn main() -> Result<(), Box<dyn Error>> {
    println!("cargo::rerun-if-changed=burrline");
    let out = PathBuf::from(env::var("OUT_DIR")?);
    let schema = protox::compile(["burrline/v1/shop.proto"], ["."])?;

    // Reflection has no use for the comments, which are most of the size.
    let mut bare = schema.clone();
    for file in &mut bare.file {
        file.source_code_info = None;
    }
    fs::write(out.join("burrline.binpb"), bare.encode_to_vec())?;

    // A message knows its own name, by which it is looked up where it is written as JSON.
    let mut config = tonic_prost_build::Config::new();
    config.enable_type_names();
    tonic_prost_build::configure().compile_fds_with_config(schema, config)?;
    Ok(())
}
