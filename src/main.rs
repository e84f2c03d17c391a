//! The program: arguments in, exit code out.

/// Checking makes and drops many small values: this allocator keeps their memory at hand.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

use std::process::ExitCode;

fn main() -> ExitCode {
    dryfit::cli::run()
}
