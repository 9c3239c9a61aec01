//! Which things hang together: sets that are joined pair by pair, on a top that ends or
//! on one that repeats without end.

/// Sets joined pair by pair, each known by its least member.
#[derive(Debug)]
pub(crate) struct Joined {
    parent: Vec<u32>,
}

impl Joined {
    /// So many things, none joined.
    pub(crate) fn new(things: usize) -> Self {
        let mut fresh = Self { parent: Vec::new() };
        fresh.reset(things);
        fresh
    }

    /// The same room used again.
    pub(crate) fn reset(&mut self, things: usize) {
        self.parent.clear();
        self.parent
            .extend(0..u32::try_from(things).unwrap_or(u32::MAX));
    }

    /// The least thing of the set this one is in.
    #[inline]
    pub(crate) fn first(&mut self, thing: usize) -> usize {
        let mut at = thing;
        loop {
            let up = self.parent[at] as usize;
            if up == at {
                return at;
            }
            self.parent[at] = self.parent[up];
            at = up;
        }
    }

    #[inline]
    pub(crate) fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.first(a), self.first(b));
        if a != b {
            let (low, high) = (a.min(b), a.max(b));
            self.parent[high] = u32::try_from(low).unwrap_or(u32::MAX);
        }
    }
}

/// How far a connected shape reaches if the setting goes on without end.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub enum Reach {
    /// It ends: a figure.
    Figure,
    /// It runs on in one direction: a band.
    Band,
    /// It runs on in every direction: a net.
    Net,
}

impl Reach {
    /// `figure`, `band` or `net`.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Figure => "figure",
            Self::Band => "band",
            Self::Net => "net",
        }
    }
}

/// A step from one repeat to another: repeats right and down.
pub(crate) type Step = (i32, i32);

/// Sets joined on a setting without end: each thing stands for its copies in every
/// repeat, and a pair is joined with the step from one repeat to the other.
pub(crate) struct Endless {
    parent: Vec<(usize, Step)>,
    /// Steps that lead from a set back to itself, by its first thing.
    rounds: Vec<(usize, Step)>,
}

impl Endless {
    pub(crate) fn new(things: usize) -> Self {
        Self {
            parent: (0..things).map(|i| (i, (0, 0))).collect(),
            rounds: Vec::new(),
        }
    }

    /// The first thing of the set, and the step to the copy this one hangs on.
    pub(crate) fn first(&self, thing: usize) -> (usize, Step) {
        let (mut at, mut step) = (thing, (0, 0));
        while self.parent[at].0 != at {
            let (up, by) = self.parent[at];
            step = (step.0 + by.0, step.1 + by.1);
            at = up;
        }
        (at, step)
    }

    /// Joins `a` in one repeat to `b` in the repeat `step` from there.
    pub(crate) fn join(&mut self, a: usize, b: usize, step: Step) {
        let ((a, from_a), (b, from_b)) = (self.first(a), self.first(b));
        // Copy of b's first = step + from_b seen from a's repeat; of a's first = from_a.
        let between = (step.0 + from_b.0 - from_a.0, step.1 + from_b.1 - from_a.1);
        if a != b {
            self.parent[b] = (a, (-between.0, -between.1));
        } else if between != (0, 0) {
            self.rounds.push((a, between));
        }
    }

    /// How far the set of this thing reaches.
    pub(crate) fn reach(&self, thing: usize) -> Reach {
        let (first, _) = self.first(thing);
        let mut steps = self
            .rounds
            .iter()
            .filter(|(at, _)| self.first(*at).0 == first)
            .map(|(_, step)| *step);
        let Some(one) = steps.next() else {
            return Reach::Figure;
        };
        if steps.any(|s| one.0 * s.1 != one.1 * s.0) {
            Reach::Net
        } else {
            Reach::Band
        }
    }
}
