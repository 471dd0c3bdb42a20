//! The schema that editors read, beside the documentation, is the one the program prints.

#[test]
fn the_schema_in_the_docs_is_up_to_date() {
    let kept = std::fs::read_to_string("docs/layout.schema.json").unwrap();
    assert_eq!(
        kept.trim_end(),
        underboard::parse::json_schema().trim_end(),
        "write it anew: cargo run -- schema > docs/layout.schema.json"
    );
}
