// Package ingest turns inventory files into validated [Building] rows and
// [Reject]s. It owns file formats (CSV in its many dialects, Parquet), text
// encodings, column names, units at the edge and the accepted spellings of
// every level; inside a Building everything is SI and every level is a number.
// It refuses to know anything about strategies, physics or ranking.
//
// # Files, in the order of reading
//
// building.go is what comes out, columns.go the catalogue of known columns.
// source.go lists and opens files, header.go binds a header to the catalogue,
// words.go holds the words that a cell may hold. csvscan.go and csvfile.go read
// CSV; parquet.go, parquetpages.go and parquetvalues.go read Parquet. batch.go
// gathers rows and decode.go judges them, with number.go. seen.go compares ids,
// propose.go guesses at unknown columns and words. text.go is about characters.
//
// # Promises
//
//   - A row either becomes a Building or is named in at least one Reject, one
//     for each problem found in it; so is a line above the header. Only rows
//     whose cells are all blank are passed over in silence, as spreadsheets
//     append them.
//   - A cell has one reading. A number is in the unit that its cell
//     names, or else in that of the header, and a date in the order that the
//     header says; a thousands separator that could be a decimal sign, and a year
//     without its century, are Rejects. Two ends of a number (48-53) are kept.
//   - A bad value in an optional column rejects the row as well. Reading it as
//     "unknown" would hide a fact that somebody recorded, and the fact might be
//     the risk. A blank optional cell is unknown; an alias from "" says so, or
//     says something else, for any column.
//   - Trouble with a whole file (no header, a required column missing, a
//     measure without a unit, damaged Parquet) is one Reject with Whole set, and
//     reading goes on with the next file. Rows read before the damage are kept.
//   - Memory is bounded by MaxRecord, by the bytes of a batch and by the open
//     pages of a Parquet file, never by the file, by a number of rows or by a
//     size that the file claims.
//   - Every file is hashed while it is read: what is read once, a pipe or a file
//     that is replaced meanwhile, has the hash of what was read.
//   - What is said of a file (Reject, Notes, Names) and the text of
//     a Building hold nothing that could drive a terminal. Only Building.Extra
//     may hold line ends and tabs: whoever prints it uses Printable.
//
// # Text
//
// CSV is split as RFC 4180 describes, with comma, semicolon or tab between the
// cells, lines ended by LF, CRLF or CR, and a first line "sep=;" obeyed. A
// quote inside a cell that does not begin with one stands for itself. A record
// whose quoting is broken is a Reject and reading resumes on the line after the
// record's first line, so that a forgotten quote cannot swallow the file; the
// same holds for a record over several lines with a wrong number of cells, with
// a line break in a number or a word, or with a cell that seems to hold rows.
//
// UTF-16 is known by its byte order mark or by its NUL bytes. All else is read
// as UTF-8; a record that is not valid UTF-8 is read as Windows-1252, unless
// the file begins with a UTF-8 byte order mark, in which case it is a Reject.
// The choice is made for each record, so it needs no look ahead and does not
// depend on how the file is cut into batches; Source.Notes says where the
// first such record was. Its weakness: Windows-1252 text whose only letters
// beyond ASCII happen to form valid UTF-8, such as a sharp s before a pound
// sign, is read as UTF-8.
//
// # Ride-through columns
//
// Columns that are not in [Columns] reach Building.Extra as text, each in a place
// of its own even where names differ only in case, as in the CSV file (after
// unquoting, in UTF-8) but for control characters. In Parquet, integers,
// booleans (true, false), dates (2006-01-02), timestamps (RFC 3339) and
// decimals print the way they would stand in a CSV file, floats in the
// shortest form that reads back the same, null as an empty cell. Nested
// columns cannot stand in a cell; they are left out and noted.
package ingest
