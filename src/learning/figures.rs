//! The figures that learning goes by: most are judgements, which are data (`rules/learning.yaml`), and so can be changed.

use super::deviations::Shares;
use super::worth::Losses;

/// What a figure counts in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Counts {
    /// A plain number.
    Number,
    /// A share, written in per cent.
    Share,
    /// A length in mm.
    Length,
    /// An angle in radians.
    Angle,
}

/// A figure: its word in the data, and what it may be.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Figure {
    /// Its word.
    pub word: &'static str,
    /// What it counts in.
    pub counts: Counts,
    /// The least that it may be.
    pub least: f64,
    /// The most.
    pub most: f64,
}

macro_rules! figures {
    ($($(#[doc = $doc:literal])+ $field:ident = $word:literal, $counts:ident $least:literal..=$most:literal;)+) => {
        /// All figures, each a plain number, a share, a length in mm or an angle in radians.
        #[derive(Debug, Clone, Copy, PartialEq)]
        pub struct Figures {
            $($(#[doc = $doc])+ pub $field: f64,)+
        }

        /// What figures there are.
        pub const FIGURES: &[Figure] = &[
            $(Figure { word: $word, counts: Counts::$counts, least: $least, most: $most },)+
        ];

        impl Figures {
            /// All of them, as they are told one by one; `None` where one is missing.
            #[must_use]
            pub fn of(value: impl Fn(&Figure) -> Option<f64>) -> Option<Self> {
                let mut all = FIGURES.iter().map(value);
                Some(Self { $($field: all.next()??,)+ })
            }
        }
    };
}

figures! {
    /// The share of a deviation's variance that comes again in every print of a feature.
    feature_share = "feature-share", Share 0.0..=0.9;
    /// The share that all on one plate have in common.
    job_share = "job-share", Share 0.0..=0.9;
    /// For how many readings a profile's spread counts.
    spread_counts = "spread-counts", Number 0.5..=1000.0;
    /// Standard uncertainty of a machine's scale.
    scale_u = "scale-u", Share 0.0..=0.1;
    /// How many times the shortest dimension the longest is where a scale is asked for.
    lengths_apart = "lengths-apart", Number 1.5..=100.0;
    /// Standard uncertainty of a machine's first-layer flare, and its spread.
    flare_u = "flare-u", Length 0.001..=2.0;
    /// The scatter of repeats.
    repeat_scatter = "repeat-scatter", Length 0.0001..=1.0;
    /// For how many repeats that counts.
    repeat_counts = "repeat-counts", Number 0.1..=1000.0;
    /// Repeats apart by more than so many times their scatter are no scatter.
    repeats_disagree = "repeats-disagree", Number 2.0..=1000.0;
    /// The zeta score up to which one reading is as foretold.
    seldom_from = "seldom-from", Number 0.5..=10.0;
    /// The one over which no scatter explains a reading.
    never_from = "never-from", Number 0.5..=20.0;
    /// The share of sheets on which all is well that say nothing.
    sheets_quiet = "sheets-quiet", Share 0.5..=0.9999;
    /// How many readings are mistyped.
    mistyped_seldom = "mistyped-seldom", Share 0.000_001..=0.5;
    /// How far off they are, either way.
    mistyped_by = "mistyped-by", Length 0.1..=1000.0;
    /// From which chance one is reported.
    mistyped_from = "mistyped-from", Share 0.5..=0.9999;
    /// Standard uncertainty of the limit between what jams, serves and rattles.
    fit_limit_u = "fit-limit-u", Length 0.001..=1.0;
    /// From which chance a part in hand keeps to its limits for sure.
    proven_from = "proven-from", Share 0.5..=0.9999;
    /// How often what one cause leaves over must come by scatter.
    cause_fits = "cause-fits", Share 0.0..=1.0;
    /// How often what any other leaves over may.
    cause_others = "cause-others", Share 0.0..=1.0;
    /// By how many more of its prints another value must fit.
    better_by = "better-by", Share 0.0..=1.0;
    /// Chances above this are as good as one another.
    fits_surely = "fits-surely", Share 0.5..=1.0;
    /// How far strain limits differ from shop to shop, a coefficient of variation.
    limits_vary = "limits-vary", Share 0.01..=2.0;
    /// How far one shop's arms scatter, in the logarithm.
    arms_scatter = "arms-scatter", Share 0.01..=1.0;
    /// The share of arms that a sheet's limit lets fail.
    arms_failing = "arms-failing", Share 0.0001..=0.5;
    /// How fast limits fall with openings: the power of their count, at the end that is against the part.
    cycles_power = "cycles-power", Number 0.0..=1.0;
    /// Up to so many openings.
    cycles_most = "cycles-most", Number 1.0..=1_000_000_000.0;
    /// By how much an arm may lean out of its layers.
    in_layers = "in-layers", Angle 0.0..=1.6;
    /// How far the bond of layers differs from shop to shop, in the logarithm.
    bond_scatter = "bond-scatter", Share 0.01..=2.0;
    /// Relative standard uncertainty of the strain of a strip that nobody read.
    strain_u_drawn = "strain-u-drawn", Share 0.0..=1.0;
    /// The same of one that was read.
    strain_u_read = "strain-u-read", Share 0.0..=1.0;
    /// How far coefficients of friction scatter, in the logarithm.
    friction_scatter = "friction-scatter", Share 0.001..=2.0;
    /// The least relative standard uncertainty of a stated one.
    friction_least_u = "friction-least-u", Share 0.0001..=2.0;
    /// Standard uncertainty of how far a ramp's end has risen.
    rise_u = "rise-u", Length 0.001..=100.0;
    /// So many openings around one part are a comb.
    comb_teeth = "comb-teeth", Number 2.0..=1000.0;
    /// How near to the truth a spread counts as known.
    spread_within = "spread-within", Share 0.01..=0.99;
    /// With which chance.
    spread_sure = "spread-sure", Share 0.5..=0.9999;
    /// From so many features, and so many jobs, what is learnt of a machine counts as sure.
    sure_features = "sure-features", Number 1.0..=1000.0;
    /// From so many failures what is learnt of a strain limit does.
    sure_failures = "sure-failures", Number 1.0..=1000.0;
    /// From so many hooks and slides what is learnt of friction does.
    sure_slides = "sure-slides", Number 1.0..=1000.0;
    /// What changing a drawing costs that need not be.
    loss_change = "loss-change", Number 0.001..=1_000_000.0;
    /// What a failed print costs.
    loss_failure = "loss-failure", Number 0.001..=1_000_000.0;
    /// What is worth less is not named.
    worth_least = "worth-least", Number 0.0..=1_000_000.0;
    /// A verdict so many uncertainties from turning does not turn.
    margin_far = "margin-far", Number 0.1..=10.0;
    /// Minutes that reading something bought again takes.
    minutes_again = "minutes-again", Number 0.1..=1000.0;
    /// Minutes that three features of a print take.
    minutes_print = "minutes-print", Number 0.1..=1000.0;
    /// Minutes that one arm up a stair takes.
    minutes_trial = "minutes-trial", Number 0.1..=1000.0;
}

/// Whether a count reaches a figure.
#[must_use]
pub fn at_least(count: usize, figure: f64) -> bool {
    #[allow(clippy::cast_precision_loss, reason = "some thousands at the most")]
    let count = count as f64;
    count >= figure
}

impl Figure {
    /// A figure by its word.
    #[must_use]
    pub fn named(word: &str) -> Option<&'static Self> {
        FIGURES.iter().find(|figure| figure.word == word)
    }

    /// What it may be, as it is written.
    #[must_use]
    pub fn range(&self) -> (String, String) {
        let shown = |value: f64| match self.counts {
            Counts::Number => crate::quantity::number(value),
            Counts::Share => format!("{} %", crate::quantity::number(value * 100.0)),
            Counts::Length => format!("{} mm", crate::quantity::number(value)),
            Counts::Angle => format!("{} deg", crate::quantity::number(value.to_degrees().round())),
        };
        (shown(self.least), shown(self.most))
    }
}

impl Figures {
    /// How the variance of a deviation divides; what a feature and a job have never comes to more than all of it.
    #[must_use]
    pub fn shares(&self) -> Shares {
        Shares { feature: self.feature_share, job: self.job_share.min(1.0 - self.feature_share) }
    }

    /// Degrees of freedom of what a profile says of a spread.
    #[must_use]
    pub fn freedom(&self) -> f64 {
        self.spread_counts + 2.0
    }

    /// What changing a drawing costs, and what a failed print does.
    #[must_use]
    pub fn losses(&self) -> Losses {
        Losses { change: self.loss_change, failure: self.loss_failure }
    }
}
