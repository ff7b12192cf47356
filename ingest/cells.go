package ingest

import (
	"bytes"
	"encoding/hex"
	"math"
	"strconv"
	"time"
	"unicode/utf8"

	"github.com/apache/arrow/go/v17/arrow"
	"github.com/apache/arrow/go/v17/arrow/array"
)

// cells gives the text of the rows of one Arrow column, as it would stand in a
// CSV cell. Null is the empty text.
type cells func(row int) string

// cellsOf returns how to read a column, or nil for types that do not fit in a
// cell.
func cellsOf(a arrow.Array) cells {
	switch a := a.(type) {
	case *array.String:
		return nullable(a, a.Value)
	case *array.LargeString:
		return nullable(a, a.Value)
	case *array.Binary:
		return nullable(a, func(i int) string { return textOrHex(a.Value(i)) })
	case *array.FixedSizeBinary:
		return nullable(a, func(i int) string { return textOrHex(a.Value(i)) })
	case *array.Boolean:
		return nullable(a, func(i int) string { return strconv.FormatBool(a.Value(i)) })
	case *array.Int8:
		return integers(a, a.Value)
	case *array.Int16:
		return integers(a, a.Value)
	case *array.Int32:
		return integers(a, a.Value)
	case *array.Int64:
		return integers(a, a.Value)
	case *array.Uint8:
		return integers(a, a.Value)
	case *array.Uint16:
		return integers(a, a.Value)
	case *array.Uint32:
		return integers(a, a.Value)
	case *array.Uint64:
		return nullable(a, func(i int) string { return strconv.FormatUint(a.Value(i), 10) })
	case *array.Float32:
		return nullable(a, func(i int) string { return formatFloat(float64(a.Value(i)), 32) })
	case *array.Float64:
		return nullable(a, func(i int) string { return formatFloat(a.Value(i), 64) })
	case *array.Decimal128:
		scale := a.DataType().(*arrow.Decimal128Type).Scale
		return nullable(a, func(i int) string { return a.Value(i).ToString(scale) })
	case *array.Decimal256:
		scale := a.DataType().(*arrow.Decimal256Type).Scale
		return nullable(a, func(i int) string { return a.Value(i).ToString(scale) })
	case *array.Date32:
		return nullable(a, func(i int) string { return a.Value(i).ToTime().Format(time.DateOnly) })
	case *array.Date64:
		return nullable(a, func(i int) string { return a.Value(i).ToTime().Format(time.DateOnly) })
	case *array.Time32:
		unit := a.DataType().(*arrow.Time32Type).Unit
		return nullable(a, func(i int) string { return a.Value(i).ToTime(unit).Format("15:04:05.999") })
	case *array.Time64:
		unit := a.DataType().(*arrow.Time64Type).Unit
		return nullable(a, func(i int) string { return a.Value(i).ToTime(unit).Format("15:04:05.999999999") })
	case *array.Timestamp:
		t := a.DataType().(*arrow.TimestampType)
		layout := "2006-01-02T15:04:05.999999999"
		if t.TimeZone != "" {
			layout += "Z"
		}
		return nullable(a, func(i int) string { return a.Value(i).ToTime(t.Unit).UTC().Format(layout) })
	case *array.Null:
		return func(int) string { return "" }
	}
	return nil
}

func nullable(a arrow.Array, value func(int) string) cells {
	if a.NullN() == 0 {
		return value
	}
	return func(i int) string {
		if a.IsNull(i) {
			return ""
		}
		return value(i)
	}
}

func integers[T int8 | int16 | int32 | int64 | uint8 | uint16 | uint32](a arrow.Array, value func(int) T) cells {
	return nullable(a, func(i int) string { return strconv.FormatInt(int64(value(i)), 10) })
}

// textOrHex prints bytes of no stated meaning.
func textOrHex(b []byte) string {
	if utf8.Valid(b) && bytes.IndexByte(b, 0) < 0 {
		return string(b)
	}
	return hex.EncodeToString(b)
}

// formatFloat prints the shortest text that reads back the same, without an
// exponent unless the number is very large or very small.
func formatFloat(v float64, bits int) string {
	if a := math.Abs(v); a != 0 && (a < 1e-6 || a >= 1e21) {
		return strconv.FormatFloat(v, 'g', -1, bits)
	}
	return strconv.FormatFloat(v, 'f', -1, bits)
}

// floatsOf returns how to read a column of numbers without going through
// text, or nil.
func floatsOf(a arrow.Array) func(int) float64 {
	switch a := a.(type) {
	case *array.Float64:
		return a.Value
	case *array.Int64:
		return func(i int) float64 { return float64(a.Value(i)) }
	case *array.Int32:
		return func(i int) float64 { return float64(a.Value(i)) }
	}
	return nil
}
