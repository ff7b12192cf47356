// Package compare says what moved between two runs, and why. It owns the
// reading of two output folders (ranking.parquet, run.json, and rejects.csv for
// buildings that are in one run only) and the tables made from them. It refuses
// to judge: it computes no figure that a run did not write.
//
// Rows are met by building_id and strategy, columns by name; a column that one
// of the runs does not have is not compared. A reason is named only where what
// differs can move the row: a setting of another strategy, the weather of
// another climate, or the seed for a row of the steady tier, is none.
//
// Memory: both files are streamed. Of each building are held its id, 8 bytes
// for each fact column and 40 bytes for each strategy, about 0.6 KB with seven
// strategies; of each change 16 bytes; of each fact that differs 16 bytes for
// each run; and the text of the rows that are shown.
package compare
