//! TEMPORARY
#![allow(missing_docs)]
#[derive(Debug, Clone, thiserror::Error)]
#[error("{0}")]
pub struct DurationProblem(pub String);
#[derive(Debug, Clone)]
pub struct Episode {
    pub x: Vec<f64>,
    pub entry: f64,
    pub exit: f64,
    pub event: f64,
    pub weight: f64,
}
#[derive(Debug, Clone, Copy)]
pub struct Normal {
    pub mean: f64,
    pub sd: f64,
}
#[derive(Debug, Clone)]
pub struct WeibullModel {
    pub names: Vec<String>,
    pub priors: Vec<Normal>,
    pub ln_scale: Normal,
    pub lower: Vec<Option<f64>>,
}
#[derive(Debug, Clone)]
pub struct WeibullFit {
    pub coefficients: Vec<f64>,
    pub ln_scale: f64,
    pub covariance: Vec<f64>,
    pub bounded: Vec<usize>,
}
impl WeibullFit {
    pub fn cumulative_hazard(&self, x: &[f64], t: f64) -> f64 {
        let l: f64 = x.iter().zip(&self.coefficients).map(|(a, b)| a * b).sum();
        if t <= 0.0 {
            0.0
        } else {
            ((t.ln() - l) * (-self.ln_scale).exp()).exp()
        }
    }
}
fn ll(m: &WeibullModel, eps: &[Episode], b: &[f64]) -> f64 {
    let p = b.len() - 1;
    let tau = b[p];
    let k = (-tau).exp();
    let mut s = -0.5 * ((tau - m.ln_scale.mean) / m.ln_scale.sd).powi(2);
    for (j, pr) in m.priors.iter().enumerate() {
        s -= 0.5 * ((b[j] - pr.mean) / pr.sd).powi(2);
    }
    for e in eps {
        let l: f64 = e.x.iter().zip(b).map(|(a, c)| a * c).sum();
        let z2 = (e.exit.ln() - l) * k;
        let h2 = z2.exp();
        let h1 = if e.entry > 0.0 {
            ((e.entry.ln() - l) * k).exp()
        } else {
            0.0
        };
        s += e.weight * (e.event * (-tau + z2) - (h2 - h1));
    }
    s
}
fn solve(a: &[f64], b: &[f64], n: usize) -> (Vec<f64>, Vec<f64>) {
    let mut m: Vec<Vec<f64>> = (0..n)
        .map(|i| {
            let mut r = a[i * n..(i + 1) * n].to_vec();
            r.push(b[i]);
            for j in 0..n {
                r.push(if i == j { 1.0 } else { 0.0 });
            }
            r
        })
        .collect();
    for c in 0..n {
        let piv = (c..n)
            .max_by(|x, y| m[*x][c].abs().total_cmp(&m[*y][c].abs()))
            .unwrap();
        m.swap(c, piv);
        let d = m[c][c];
        for v in &mut m[c] {
            *v /= d;
        }
        for r in 0..n {
            if r != c {
                let f = m[r][c];
                if f != 0.0 {
                    let src = m[c].clone();
                    for (v, s) in m[r].iter_mut().zip(src) {
                        *v -= f * s;
                    }
                }
            }
        }
    }
    (
        (0..n).map(|i| m[i][n]).collect(),
        (0..n).flat_map(|i| m[i][n + 1..].to_vec()).collect(),
    )
}
impl WeibullModel {
    pub fn fit(&self, eps: &[Episode]) -> Result<WeibullFit, DurationProblem> {
        let p = self.priors.len();
        let n = p + 1;
        let mut b: Vec<f64> = self.priors.iter().map(|x| x.mean).collect();
        b.push(self.ln_scale.mean);
        let mut held: Vec<usize> = vec![];
        loop {
            let mut cov = vec![0.0; n * n];
            for _ in 0..100 {
                let tau = b[p];
                let k = (-tau).exp();
                let mut g = vec![0.0; n];
                let mut h = vec![0.0; n * n];
                for j in 0..p {
                    let w = 1.0 / self.priors[j].sd.powi(2);
                    g[j] -= (b[j] - self.priors[j].mean) * w;
                    h[j * n + j] += w;
                }
                let w = 1.0 / self.ln_scale.sd.powi(2);
                g[p] -= (tau - self.ln_scale.mean) * w;
                h[p * n + p] += w;
                for e in eps {
                    let l: f64 = e.x.iter().zip(&b).map(|(a, c)| a * c).sum();
                    let z2 = (e.exit.ln() - l) * k;
                    let h2 = z2.exp();
                    let (z1, h1) = if e.entry > 0.0 {
                        let z = (e.entry.ln() - l) * k;
                        (z, z.exp())
                    } else {
                        (0.0, 0.0)
                    };
                    let (dh, d, wt) = (h2 - h1, e.event, e.weight);
                    for i in 0..p {
                        g[i] += wt * k * e.x[i] * (dh - d);
                        for j in 0..p {
                            h[i * n + j] += wt * k * k * e.x[i] * e.x[j] * dh;
                        }
                        let c = -wt
                            * (d * k * e.x[i] - k * e.x[i] * dh - k * e.x[i] * (z2 * h2 - z1 * h1));
                        h[i * n + p] += c;
                        h[p * n + i] += c;
                    }
                    g[p] += wt * (d * (-1.0 - z2) + z2 * h2 - z1 * h1);
                    h[p * n + p] -= wt * (d * z2 - (z2 + z2 * z2) * h2 + (z1 + z1 * z1) * h1);
                }
                for j in &held {
                    for i in 0..n {
                        h[j * n + i] = 0.0;
                        h[i * n + j] = 0.0;
                    }
                    h[j * n + j] = 1e12;
                    g[*j] = 0.0;
                }
                let (mut step, c) = solve(&h, &g, n);
                cov = c;
                let ascent: f64 = step.iter().zip(&g).map(|(a, b)| a * b).sum();
                if !(ascent > 0.0) {
                    for i in 0..n {
                        step[i] = g[i] / h[i * n + i].abs().max(1.0);
                    }
                }
                let now = ll(self, eps, &b);
                let mut f = 1.0;
                let mut done = true;
                for _ in 0..40 {
                    let c: Vec<f64> = b.iter().zip(&step).map(|(a, s)| a + f * s).collect();
                    let v = ll(self, eps, &c);
                    if v > now {
                        done = v - now < 1e-11;
                        b = c;
                        break;
                    }
                    f *= 0.5;
                }
                if done {
                    break;
                }
            }
            let bad =
                (0..p).find(|j| !held.contains(j) && self.lower[*j].is_some_and(|l| b[*j] < l));
            match bad {
                Some(j) => {
                    b[j] = self.lower[j].unwrap();
                    held.push(j);
                }
                None => {
                    return Ok(WeibullFit {
                        ln_scale: b[p],
                        coefficients: b[..p].to_vec(),
                        covariance: cov,
                        bounded: held,
                    });
                }
            }
        }
    }
}
