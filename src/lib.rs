//! Checks the design of printed plastic parts from a one-page part sheet.
//!
//! Data flows one way: text, [`syntax`] tree, [`model`], [`rules`] and their findings, [`mend`] with proven
//! changes, [`report`]. Sheets lie somewhere, read through [`files::Files`]; a [`workspace::Workspace`] finds the project
//! of each, what it uses and what uses it. The program `dryfit` is the feature `cli`, which is on by default; without
//! it the library asks for no terminal, no thread and no allocator of its own, and builds for `wasm32-unknown-unknown`.
//!
//! # Inspect a sheet with what it uses
//!
//! ```
//! use dryfit::files::Disk;
//! use dryfit::rules::Verdict;
//! use dryfit::workspace::Workspace;
//! use std::path::Path;
//!
//! let disk = Disk::seen_from(".");
//! let path = Path::new("demo-data/vent-latch.dryfit");
//! let workspace = Workspace::of(&disk, [path], None)?; // its project's rules, over the built-in ones
//! let sheet = workspace.sheet(path)?;
//! let analysis = sheet.analysis();
//! assert_eq!(analysis.verdict(), Verdict::NoGo); // its guard is too thin, its spring too stiff
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! # Read the numbers
//!
//! ```
//! use dryfit::inspect::Analysis;
//! use dryfit::rules::{Level, Library};
//!
//! let library = Library::built_in();
//! let text = "machine bench\nmaterial petg\npart p { up +z; wall w { thickness 0.5 mm; height 5 mm; faces +x } }";
//! let analysis = Analysis::of_text(&library, "p.dryfit", text);
//! let finding = analysis.findings().iter().find(|finding| finding.rule == "thin-wall").unwrap();
//! assert_eq!((finding.level, finding.about.as_str()), (Level::Stop, "p.w"));
//! let margin = finding.margin.as_ref().unwrap();
//! assert!(margin.room < 0.0); // so far under its limit
//! let place = analysis.sources.get(finding.at.source).place(finding.at.start);
//! assert_eq!((place.line, place.column), (3, 36));
//! ```
//!
//! # Ask for mends
//!
//! ```
//! use dryfit::files::{Memory, Texts};
//! use dryfit::mend::{Choice, attach, repeat};
//! use dryfit::workspace::{Mendings, Workspace};
//! use std::path::Path;
//!
//! let path = Path::new("/shop/p.dryfit");
//! let text = "machine bench\nmaterial petg\npart p { up +z; wall w { thickness 0.5 mm; height 5 mm; faces +x } }";
//! let files = Memory::of([(path, text)]);
//! let workspace = Workspace::of(&files, [path], None)?;
//! let sheet = workspace.sheet(path)?;
//! let analysis = sheet.analysis();
//! let mendings = Mendings::of_one(&workspace, sheet, &analysis); // with the sheets that use this one
//! let unchanged = Texts::new();
//! let mending = mendings.sheet(0, &unchanged);
//!
//! let inspection = attach(&mending, analysis); // for each finding what can be done about it
//! assert!(inspection.findings.iter().any(|finding| finding.advice.is_some()));
//!
//! let mended = repeat(&mending, text, &Choice::default()); // or all that is clean, one after another
//! assert_ne!(mended.text, text);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

pub mod checklist;
#[cfg(feature = "cli")]
pub mod cli;
pub mod fault;
pub mod files;
pub mod gauge;
pub mod geometry;
pub mod inspect;
#[cfg(feature = "cli")]
pub mod language_server;
pub mod learning;
pub mod lessons;
pub mod measures;
pub mod mechanics;
pub mod mend;
pub mod model;
pub mod notes;
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
