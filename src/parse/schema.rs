//! The JSON Schema.
pub fn json_schema() -> String {
    String::new()
}
