//! The little linear algebra that regression on an orthonormal basis takes.

/// Takes from a column its parts along orthonormal columns (of mean square 1) and scales the rest to mean square 1; none if
/// less than 1e-6 of the column is left, which then says nothing new.
///
/// The parts are taken off twice: once leaves rounding of the size of what was taken (Giraud, Langou and Rozložník,
/// Computers and Mathematics with Applications 50:1069, 2005: twice is enough; from memory).
pub fn orthonormal(columns: &[Vec<f64>], mut column: Vec<f64>) -> Option<Vec<f64>> {
    let n = column.len() as f64;
    let size = |column: &[f64]| (column.iter().map(|x| x * x).sum::<f64>() / n).sqrt();
    let before = size(&column);
    for _ in 0..2 {
        for known in columns {
            let part = dot(known, &column) / n;
            column.iter_mut().zip(known).for_each(|(x, known)| *x -= part * known);
        }
    }
    let left = size(&column);
    if !(left > 1e-6 * before) {
        return None;
    }
    column.iter_mut().for_each(|x| *x /= left);
    Some(column)
}

/// Σ aᵢ·bᵢ.
pub fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// The lower factor of Cholesky's of a symmetric matrix, row by row; none if the matrix is not positive.
pub fn cholesky(matrix: &[Vec<f64>]) -> Option<Vec<Vec<f64>>> {
    let mut factor: Vec<Vec<f64>> = vec![];
    for (i, row) in matrix.iter().enumerate() {
        let mut new = Vec::with_capacity(i + 1);
        for j in 0..i {
            let found = (row[j] - dot(&new, &factor[j][..j])) / factor[j][j];
            new.push(found);
        }
        let square = row[i] - dot(&new, &new);
        if !(square > 1e-9 * row[i]) {
            return None;
        }
        new.push(square.sqrt());
        factor.push(new);
    }
    Some(factor)
}

/// Solves A·x = b for the leading block of A as large as b is long, by A's lower factor.
pub fn solve(factor: &[Vec<f64>], b: &[f64]) -> Vec<f64> {
    let n = b.len();
    let mut x: Vec<f64> = Vec::with_capacity(n);
    for i in 0..n {
        let found = (b[i] - dot(&factor[i][..i], &x)) / factor[i][i];
        x.push(found);
    }
    for i in (0..n).rev() {
        let later: f64 = (i + 1..n).map(|k| factor[k][i] * x[k]).sum();
        x[i] = (x[i] - later) / factor[i][i];
    }
    x
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equations_are_solved_by_leading_block() {
        let matrix = [vec![4.0, 2.0, 1.0], vec![2.0, 5.0, 3.0], vec![1.0, 3.0, 6.0]];
        let factor = cholesky(&matrix).unwrap();
        for b in [&[1.0][..], &[1.0, -2.0], &[1.0, -2.0, 0.5]] {
            let x = solve(&factor, b);
            for (row, b) in matrix.iter().zip(b) {
                assert!((dot(&row[..x.len()], &x) - b).abs() < 1e-14);
            }
        }
        assert!(cholesky(&[vec![1.0, 1.0], vec![1.0, 1.0]]).is_none());
        assert!(cholesky(&[vec![f64::NAN]]).is_none());
    }

    #[test]
    fn a_column_that_says_nothing_new_is_left_out() {
        let ones = vec![1.0; 5];
        let line = orthonormal(std::slice::from_ref(&ones), vec![1e9, 1e9 + 1e4, 1e9, 1e9 - 1e4, 1e9]).unwrap();
        assert!((dot(&ones, &line)).abs() < 1e-10 && (dot(&line, &line) / 5.0 - 1.0).abs() < 1e-14);
        let both = [ones, line.clone()];
        assert!(orthonormal(&both, line.iter().map(|x| 3.0 * x - 2.0).collect()).is_none());
        assert!(orthonormal(&both, vec![0.0; 5]).is_none());
    }
}
