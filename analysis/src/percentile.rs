//! Percentiles of a sorted list.

/// The percentile at position (n - 1) p of values in ascending order, linear between neighbours.
///
/// `share` is p, from 0 to 1. `None` for no values.
pub(crate) fn percentile(sorted: &[f64], share: f64) -> Option<f64> {
    let last = sorted.len().checked_sub(1)?;
    let position = share.clamp(0.0, 1.0) * last as f64;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "between 0 and the last index by the line above"
    )]
    let below = (position.floor() as usize).min(last);
    let above = (below + 1).min(last);
    let part = position - below as f64;
    Some(sorted[below] + part * (sorted[above] - sorted[below]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn positions_between_values_are_linear() {
        let values = [1.0, 2.0, 4.0, 8.0, 16.0];
        for (share, wanted) in
            [(0.0, 1.0), (0.25, 2.0), (0.5, 4.0), (0.6, 5.6), (0.95, 14.4), (1.0, 16.0)]
        {
            let got = percentile(&values, share).unwrap();
            assert!((got - wanted).abs() < 1e-12, "{share}: {got} instead of {wanted}");
        }
        assert_eq!(percentile(&[3.0], 0.95), Some(3.0));
        assert_eq!(percentile(&[], 0.5), None);
    }
}
