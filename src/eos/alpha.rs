//! A Helmholtz energy and its derivatives in delta and tau.

/// A value and its derivatives with respect to delta and tau, each multiplied by the variables:
/// `d = δ α_δ`, `t = τ α_τ`, `dd = δ² α_δδ`, `dt = δ τ α_δτ`, `tt = τ² α_ττ`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Alpha {
    /// Value.
    pub a: f64,
    /// `δ α_δ`
    pub d: f64,
    /// `τ α_τ`
    pub t: f64,
    /// `δ² α_δδ`
    pub dd: f64,
    /// `δ τ α_δτ`
    pub dt: f64,
    /// `τ² α_ττ`
    pub tt: f64,
}

impl Alpha {
    /// Adds `w` times another.
    pub fn add(&mut self, w: f64, o: &Alpha) {
        self.a += w * o.a;
        self.d += w * o.d;
        self.t += w * o.t;
        self.dd += w * o.dd;
        self.dt += w * o.dt;
        self.tt += w * o.tt;
    }
}
