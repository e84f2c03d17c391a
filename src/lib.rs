//! Checks the design of printed plastic parts from a one-page part sheet.
//!
//! Data flows one way: text, [`syntax`] tree, [`model`], [`rules`] and their findings, [`mend`]
//! with proven changes, [`report`].
#![doc = include_str!("../README.md")]

pub mod cli;
pub mod fault;
pub mod files;
pub mod geometry;
pub mod inspect;
pub mod mechanics;
pub mod mend;
pub mod model;
pub mod orient;
pub mod origin;
pub mod pack;
pub mod quantity;
pub mod report;
pub mod rules;
pub mod source;
pub mod syntax;
pub mod vocabulary;
pub mod window;
pub mod workspace;
