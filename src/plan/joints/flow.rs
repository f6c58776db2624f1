//! Heaviest flow through a small table.

/// The largest sum of weights of a flow from rows to columns.
///
/// Each row and each column passes at most its supply, each cell its room; a unit through a cell
/// counts its weight. By longest augmenting paths, each of which may reroute what flows already:
/// L.R. Ford, D.R. Fulkerson, Flows in Networks, 1962, chapter III (from memory, check your edition).
pub(super) fn heaviest_flow(supply: &[usize], room: &[Vec<usize>], weight: &[Vec<usize>]) -> usize {
    let n = supply.len();
    let mut table = Table {
        row_left: supply.to_vec(),
        column_left: supply.to_vec(),
        room: room.to_vec(),
        flow: vec![vec![0; n]; n],
        weight,
    };
    let mut total = 0;
    while let Some(gain) = table.augment() {
        total += gain;
    }
    total
}

struct Table<'a> {
    row_left: Vec<usize>,
    column_left: Vec<usize>,
    room: Vec<Vec<usize>>,
    flow: Vec<Vec<usize>>,
    weight: &'a [Vec<usize>],
}

impl Table<'_> {
    /// Sends one unit along the heaviest path; `None` if that brings nothing more.
    fn augment(&mut self) -> Option<usize> {
        let n = self.row_left.len();
        // Heaviest way to each row and column, and the cell before it.
        let mut to_row: Vec<Option<i64>> =
            self.row_left.iter().map(|l| (*l > 0).then_some(0)).collect();
        let mut to_column: Vec<Option<i64>> = vec![None; n];
        let (mut row_from, mut column_from) = (vec![None; n], vec![0; n]);
        let mut changed = true;
        while changed {
            changed = false;
            for i in 0..n {
                for j in 0..n {
                    let weight = i64::try_from(self.weight[i][j]).expect("weights are small");
                    let forth = to_row[i].map(|w| w + weight);
                    if self.room[i][j] > 0 && forth > to_column[j] {
                        (to_column[j], column_from[j], changed) = (forth, i, true);
                    }
                    let back = to_column[j].map(|w| w - weight);
                    if self.flow[i][j] > 0 && back > to_row[i] {
                        (to_row[i], row_from[i], changed) = (back, Some(j), true);
                    }
                }
            }
        }
        let ends = (0..n).filter(|j| self.column_left[*j] > 0);
        let (gain, end) = ends.filter_map(|j| Some((to_column[j]?, j))).max()?;
        let gain = usize::try_from(gain).ok().filter(|gain| *gain > 0)?;
        self.column_left[end] -= 1;
        let mut column = end;
        loop {
            let row = column_from[column];
            self.room[row][column] -= 1;
            self.flow[row][column] += 1;
            let Some(before) = row_from[row] else {
                self.row_left[row] -= 1;
                return Some(gain);
            };
            self.flow[row][before] -= 1;
            self.room[row][before] += 1;
            column = before;
        }
    }
}

/// Most pairs of a left and a right item, none twice, that may go together.
pub(super) fn most_pairs(
    n_left: usize,
    n_right: usize,
    together: impl Fn(usize, usize) -> bool,
) -> usize {
    let n = n_left + n_right;
    let cell =
        |i: usize, j: usize| usize::from(i < n_left && j >= n_left && together(i, j - n_left));
    let cells: Vec<Vec<usize>> = (0..n).map(|i| (0..n).map(|j| cell(i, j)).collect()).collect();
    heaviest_flow(&vec![1; n], &cells, &cells)
}
