//! Plain functions applied to uncertain numbers.

use crate::Uncertain;

/// Share of an input's standard uncertainty that a difference steps to each side.
/// Small enough that the curvature within the step is lost, large enough that
/// rounding is: both stay below 1e-6 of the derivative for the engines' formulas.
const STEP: f64 = 1e-3;
/// Least step as a share of the input: below it the difference is rounding noise.
const STEP_SHARE_MIN: f64 = 1e-7;

/// The step to each side of an input; zero for an exact one.
fn step_of(input: &Uncertain) -> f64 {
    let sigma = input.standard_uncertainty();
    if sigma > 0.0 {
        (STEP * sigma).max(STEP_SHARE_MIN * input.value().abs())
    } else {
        0.0
    }
}

/// `f` of uncertain inputs, differentiated by central differences over each input
/// that has any uncertainty. `f` must be smooth around the best estimates.
pub fn through<const N: usize>(inputs: [&Uncertain; N], f: impl Fn([f64; N]) -> f64) -> Uncertain {
    let centre = inputs.map(Uncertain::value);
    let mut parts: [(f64, &Uncertain); N] = inputs.map(|input| (0.0, input));
    for (k, part) in parts.iter_mut().enumerate() {
        let step = step_of(inputs[k]);
        if step > 0.0 {
            let (mut up, mut down) = (centre, centre);
            up[k] += step;
            down[k] -= step;
            part.0 = (f(up) - f(down)) / (up[k] - down[k]);
        }
    }
    Uncertain::combined(f(centre), &parts)
}

/// As [`through`] for a function of many inputs with several results, for example a
/// room's volume and areas from all its corners. `f` returns the same number of
/// results at every call.
pub fn through_many(inputs: &[&Uncertain], f: impl Fn(&[f64]) -> Vec<f64>) -> Vec<Uncertain> {
    let centre: Vec<f64> = inputs.iter().map(|input| input.value()).collect();
    let values = f(&centre);
    let mut slopes: Vec<Vec<(f64, &Uncertain)>> = vec![Vec::new(); values.len()];
    for (k, input) in inputs.iter().enumerate() {
        let step = step_of(input);
        if step > 0.0 {
            let (mut up, mut down) = (centre.clone(), centre.clone());
            up[k] += step;
            down[k] -= step;
            let width = up[k] - down[k];
            let pairs = f(&up).into_iter().zip(f(&down));
            for (result, (above, below)) in slopes.iter_mut().zip(pairs) {
                result.push(((above - below) / width, input));
            }
        }
    }
    values
        .into_iter()
        .zip(slopes)
        .map(|(value, parts)| Uncertain::combined(value, &parts))
        .collect()
}
