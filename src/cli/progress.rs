//! A line on the terminal for what takes longer than a second.

use std::io::IsTerminal;
use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// Shown from the first second on, gone with its end.
pub(super) struct Progress(ProgressBar);

impl Progress {
    /// For so many pieces of work.
    pub(super) fn of(count: usize, what: &'static str) -> Self {
        Self::shown(
            ProgressBar::with_draw_target(Some(count as u64), ProgressDrawTarget::hidden()),
            what,
            "{wide_bar} {pos}/{len}",
        )
    }

    /// For work of which nobody knows how much it is.
    pub(super) fn open(what: &'static str) -> Self {
        Self::shown(ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden()), what, "{elapsed}")
    }

    fn shown(bar: ProgressBar, what: &'static str, rest: &str) -> Self {
        if std::io::stderr().is_terminal() {
            let style = ProgressStyle::with_template(&format!("{{msg}} {rest}"));
            bar.set_style(style.unwrap_or_else(|_| ProgressStyle::default_bar()));
            bar.set_message(what);
            let late = bar.clone();
            std::thread::spawn(move || {
                std::thread::sleep(Duration::from_secs(1));
                if !late.is_finished() {
                    late.set_draw_target(ProgressDrawTarget::stderr());
                    late.enable_steady_tick(Duration::from_millis(200));
                }
            });
        }
        Self(bar)
    }

    /// One more piece is done.
    pub(super) fn step(&self) {
        self.0.inc(1);
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.0.finish_and_clear();
    }
}
