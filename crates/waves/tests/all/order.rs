//! Eigenvalues of finite elements of degree p are in error by h^{2p} (Strang and Fix 1973, §6.3).

use waves::{Room, Uniform};

use crate::rooms::{rectangle, shoebox, solved, turned, up_to};

/// Mean relative error of the first modes of a box.
fn error(room: &Room, size: [f64; 3], cell: Uniform, on_grid: bool) -> f64 {
    let mut settings = up_to(230.0);
    settings.uniform = Some(cell);
    settings.along_walls = on_grid;
    let found: Vec<f64> = solved(room, settings, &[])
        .modes()
        .iter()
        .map(|m| m.frequency_hz)
        .collect();
    let mut exact = Vec::new();
    for i in 0..8 {
        for j in 0..8 {
            for k in 0..8 {
                let n = [i, j, k].map(f64::from);
                exact.push(171.5 * (0..3).map(|d| (n[d] / size[d]).powi(2)).sum::<f64>().sqrt());
            }
        }
    }
    exact.sort_by(f64::total_cmp);
    (1..4).map(|m| found[m] / exact[m] - 1.0).sum::<f64>() / 3.0
}

fn orders(errors: &[f64]) -> Vec<f64> {
    errors.windows(2).map(|e| (e[0] / e[1]).log2()).collect()
}

#[test]
fn on_the_grid_the_order_is_twice_the_degree() {
    let size = [2.4, 1.6, 0.8];
    let room = shoebox(size[0], size[1], size[2]);
    for (degree, widths) in [(1, [0.2, 0.1]), (2, [0.4, 0.2]), (3, [0.8, 0.4])] {
        let errors: Vec<f64> = widths
            .iter()
            .map(|w| {
                error(
                    &room,
                    size,
                    Uniform {
                        width_m: *w,
                        degree,
                    },
                    true,
                )
            })
            .collect();
        for order in orders(&errors) {
            assert!(
                (order - 2.0 * degree as f64).abs() < 0.1,
                "degree {degree}: {order:.2}, {errors:?}"
            );
        }
    }
}

/// Where the walls cut the cells anyhow the order is the same on average.
#[test]
fn cut_cells_keep_the_order() {
    let size = [2.4, 1.6, 0.8];
    let room =
        Room::prism(&turned(&rectangle(size[0], size[1]), 17.0), 0.0, size[2]).expect("closed");
    for (degree, widths) in [(1, [0.2, 0.1]), (2, [0.4, 0.2])] {
        let errors: Vec<f64> = widths
            .iter()
            .map(|w| {
                error(
                    &room,
                    size,
                    Uniform {
                        width_m: *w,
                        degree,
                    },
                    false,
                )
            })
            .collect();
        let order = orders(&errors)[0];
        assert!(
            (order - 2.0 * degree as f64).abs() < 1.0,
            "degree {degree}: {order:.2}, {errors:?}"
        );
    }
}
