package ingest

// Reject says why a row, or a whole file, was left out. A row with several
// problems has several Rejects with the same File and Line.
type Reject struct {
	File   string // display name
	Line   int64  // 1-based line in a CSV file, row in a Parquet file; 0 when the whole file is meant
	Column string // as it stands in the file; "" when no single column is to blame
	Field  string // canonical name of the column that the cell was read as; "" when it was not read as one
	Value  string // as found, shortened
	Reason string // what is wrong, and what was expected
	Fix    string // what to do about it
	Known  string // id of the building, if it could be read
	Whole  bool   // the whole file is affected, or all of it from Line on
}
