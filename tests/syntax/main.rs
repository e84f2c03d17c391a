//! The reader and the formatter over texts that nobody thought of.

mod any_text;
mod round_trip;
mod shape;
mod sheets;
