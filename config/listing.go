package config

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"wallsift/model/climate"
	"wallsift/model/material"
)

// ListNames lists what Table can print.
func ListNames() []string { return append(TableNames(), "settings") }

// Table returns a table of the configuration for display: a header and rows of
// cells, each row with its source, in the order of the rows' own order field or of
// ids. It fails on a name that is not one of ListNames.
func (l *Loaded) Table(name string) (header []string, rows [][]string, err error) {
	if name == "settings" {
		return []string{"key", "value", "meaning", "source"}, l.settingRows(), nil
	}
	if !slices.Contains(TableNames(), name) {
		return nil, nil, fmt.Errorf("no table %q; expected one of %s%s", name, strings.Join(ListNames(), ", "), didYouMean(name, ListNames()))
	}
	c := l.Config
	c.Materials = material.Resolve(c.Materials) // mixed masonry shows what the models use
	fields := append(strings.Fields(rules()["lists"][name].Text), "source")
	header = []string{"id"}
	for _, field := range fields {
		if r := rootSchema().fields[name].elem.fields[field].rule; r != nil && r.Unit != "" && r.Unit != "1" {
			field += " " + r.Unit
		}
		header = append(header, field)
	}
	table := fieldOf(reflect.ValueOf(c), name)
	given := l.table(name)
	for _, id := range idsInOrder(table) {
		row, cells := table.MapIndex(reflect.ValueOf(id)), []string{id}
		for _, field := range fields {
			v, text := fieldOf(row, field), ""
			if !v.IsZero() || given[id].(map[string]any)[field] != nil { // zero is no answer where nobody gave it
				text = cell(v.Interface())
			}
			cells = append(cells, text)
		}
		rows = append(rows, cells)
	}
	return header, rows, nil
}

// idsInOrder lists the rows of a table by their order field, if any, and id.
func idsInOrder(table reflect.Value) (ids []string) {
	order := map[string]int64{}
	for id, row := range table.Seq2() {
		ids = append(ids, id.String())
		if f := fieldOf(row, "order"); f.IsValid() {
			order[id.String()] = f.Int()
		}
	}
	slices.SortFunc(ids, func(a, b string) int { return cmp.Or(cmp.Compare(order[a], order[b]), cmp.Compare(a, b)) })
	return ids
}

// fieldOf returns the field with a name of the configuration.
func fieldOf(v reflect.Value, name string) reflect.Value {
	for f, field := range v.Fields() {
		if f.Tag.Get("mapstructure") == name {
			return field
		}
	}
	return reflect.Value{}
}

// cell prints the value of a field: a spread as its middle and its ends, twelve
// months as their mean and ends.
func cell(v any) string {
	switch v := v.(type) {
	case []string:
		return strings.Join(v, " ")
	case []Condition:
		var tests []string
		for _, c := range v {
			switch {
			case c.Below != nil:
				tests = append(tests, c.Field+" below "+num(*c.Below))
			case c.Above != nil:
				tests = append(tests, c.Field+" above "+num(*c.Above))
			default:
				tests = append(tests, c.Field+" is "+strings.Join(c.In, " or "))
			}
		}
		return strings.Join(tests, " and ")
	case material.Range:
		return spreadCell(v.Low, v.Typical, v.High)
	case Thickness:
		return spreadCell(v.Min, v.Typical, v.Max)
	case climate.Months:
		mean := 0.0
		for _, f := range v {
			mean += f / float64(len(v))
		}
		return spreadCell(slices.Min(v[:]), mean, slices.Max(v[:]))
	case []material.SdPoint:
		return num(v[0].Sd) + " dry to " + num(v[len(v)-1].Sd) + " humid"
	case *float64:
		return num(*v)
	case float64:
		return num(v)
	case []any:
		cells := make([]string, len(v))
		for i, e := range v {
			cells[i] = cell(e)
		}
		return strings.Join(cells, ", ")
	case map[string]any:
		var parts []string
		for _, k := range sortedKeys(v) {
			parts = append(parts, k+": "+cell(v[k]))
		}
		return "{" + strings.Join(parts, ", ") + "}"
	}
	return fmt.Sprint(v)
}

func spreadCell(low, middle, high float64) string {
	return short(middle) + " (" + short(low) + " to " + short(high) + ")"
}

// settingRows lists every setting, also those that are absent.
func (l *Loaded) settingRows() (rows [][]string) {
	rootSchema().leaves("", l.values, func(key string, _ *schema, v any) {
		section, _, _ := strings.Cut(key, ".")
		if slices.Contains(TableNames(), section) {
			return
		}
		value, origin := "(absent)", ""
		if v != nil {
			value, origin = cell(v), l.Origins[key]
		}
		rows = append(rows, []string{key, value, Describe(key), origin})
	})
	return rows
}

// short prints three digits, enough for display and free of the tails of mixing.
func short(f float64) string {
	if f >= 100 {
		return strconv.FormatFloat(f, 'f', 0, 64)
	}
	return strconv.FormatFloat(f, 'g', 3, 64)
}

// num prints six digits, free of the tails of mixing.
func num(f float64) string { return strconv.FormatFloat(f, 'g', 6, 64) }
