//! The coefficients of the method: SDIRK of order 4, five stages, L-stable and stiffly accurate, with
//! an embedded method of order 3 (Hairer & Wanner, Solving Ordinary Differential Equations II, table
//! IV.6.5; from memory, held by the order conditions in the test below).

pub const STAGES: usize = 5;

/// On the diagonal of every stage.
pub const GAMMA: f64 = 0.25;

/// Below the diagonal.
pub const A: [[f64; STAGES]; STAGES] = [
    [0.0, 0.0, 0.0, 0.0, 0.0],
    [1.0 / 2.0, 0.0, 0.0, 0.0, 0.0],
    [17.0 / 50.0, -1.0 / 25.0, 0.0, 0.0, 0.0],
    [371.0 / 1360.0, -137.0 / 2720.0, 15.0 / 544.0, 0.0, 0.0],
    [25.0 / 24.0, -49.0 / 48.0, 125.0 / 16.0, -85.0 / 12.0, 0.0],
];

pub const C: [f64; STAGES] = [1.0 / 4.0, 3.0 / 4.0, 11.0 / 20.0, 1.0 / 2.0, 1.0];

/// The last stage is the step's result, so these are its row.
pub const B: [f64; STAGES] = [25.0 / 24.0, -49.0 / 48.0, 125.0 / 16.0, -85.0 / 12.0, 1.0 / 4.0];

/// Of the embedded method.
pub const B_LOW: [f64; STAGES] = [59.0 / 48.0, -17.0 / 96.0, 225.0 / 32.0, -85.0 / 12.0, 0.0];

#[cfg(test)]
mod tests {
    use super::*;

    fn full(row: usize, column: usize) -> f64 {
        if row == column { GAMMA } else { A[row][column] }
    }

    fn sum(term: impl Fn(usize) -> f64) -> f64 {
        (0..STAGES).map(term).sum()
    }

    #[test]
    fn conditions_of_order() {
        // The conditions of order 1 to 4 for Runge–Kutta methods (Butcher; any textbook on the subject).
        let near = |left: f64, right: f64| assert!((left - right).abs() < 1e-13, "{left}, not {right}");
        for (row, at) in C.into_iter().enumerate() {
            near(sum(|k| full(row, k)), at);
        }
        for (b, order) in [(B, 4), (B_LOW, 3)] {
            near(sum(|i| b[i]), 1.0);
            near(sum(|i| b[i] * C[i]), 1.0 / 2.0);
            near(sum(|i| b[i] * C[i].powi(2)), 1.0 / 3.0);
            near(sum(|i| b[i] * sum(|j| full(i, j) * C[j])), 1.0 / 6.0);
            if order == 4 {
                near(sum(|i| b[i] * C[i].powi(3)), 1.0 / 4.0);
                near(sum(|i| b[i] * C[i] * sum(|j| full(i, j) * C[j])), 1.0 / 8.0);
                near(sum(|i| b[i] * sum(|j| full(i, j) * C[j].powi(2))), 1.0 / 12.0);
                let inner = |j: usize| sum(|k| full(j, k) * C[k]);
                near(sum(|i| b[i] * sum(|j| full(i, j) * inner(j))), 1.0 / 24.0);
            }
        }
    }
}
