package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"

	"waterkey/desk"
)

// table says how records of one kind are kept: each whole as JSON in doc, beside
// columns that order, refer and must not repeat.
type table struct {
	name    string
	columns []string                // beside id, revision and doc
	values  func(desk.Record) []any // for the columns
	refers  string                  // what a record refers to, for an error
	unique  string                  // what must not repeat, for an error
}

var tables = map[desk.Kind]*table{
	desk.KindPlayer: {name: "players", columns: []string{"name"},
		values: func(r desk.Record) []any { return []any{r.(*desk.Player).Name} }},
	desk.KindPart: {name: "parts", columns: []string{"title", "due", "place"},
		values: func(r desk.Record) []any {
			p := r.(*desk.Part)
			return []any{p.Title, p.Due, p.Place}
		}},
	desk.KindAssignment: {name: "assignments", columns: []string{"part_id", "player_id"},
		refers: "part or player", unique: "the player has this part already",
		values: func(r desk.Record) []any {
			a := r.(*desk.Assignment)
			return []any{a.Part, a.Player}
		}},
	desk.KindTake: {name: "takes", columns: []string{"part_id", "player_id", "recorded_ms", "chosen"},
		refers: "part or player", unique: "another take is chosen already; unchoose it in the same change",
		values: func(r desk.Record) []any {
			t := r.(*desk.Take)
			return []any{t.Part, t.Player, t.Recorded.UnixMilli(), t.Chosen}
		}},
	desk.KindMark: {name: "marks", columns: []string{"part_id", "player_id", "take_id", "mark_key"},
		refers: "part, player or take", unique: "another tab has decided about this place already; open it again",
		values: func(r desk.Record) []any {
			m := r.(*desk.Mark)
			var take any
			if m.Remark != nil {
				take = orNull(m.Remark.Take)
			}
			return []any{m.Part, orNull(m.Player), take, m.Key()}
		}},
	desk.KindDay: {name: "days", columns: []string{"part_id", "player_id", "date"},
		refers: "part or player", unique: "another tab has begun this day already; open it again",
		values: func(r desk.Record) []any {
			d := r.(*desk.PracticeDay)
			return []any{d.Part, d.Player, d.Date}
		}},
	desk.KindMeasure: {name: "measures", refers: "take", unique: "it exists already",
		values: func(desk.Record) []any { return nil }},
}

// orNull keeps an absent reference out of the foreign keys.
func orNull(id desk.ID) any {
	if id == "" {
		return nil
	}
	return id
}

// querier is a database or a transaction.
type querier interface {
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
	QueryRowContext(ctx context.Context, query string, args ...any) *sql.Row
	ExecContext(ctx context.Context, query string, args ...any) (sql.Result, error)
}

// get reads a record; nil when there is none.
func get(ctx context.Context, q querier, ref desk.Ref) (desk.Record, error) {
	t, ok := tables[ref.Kind]
	if !ok {
		return nil, &desk.SeasonError{Is: desk.ErrInvalid, Text: fmt.Sprintf("%q is no kind of record", ref.Kind)}
	}
	var doc []byte
	err := q.QueryRowContext(ctx, "SELECT doc FROM "+t.name+" WHERE id = ?", ref.ID).Scan(&doc)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, nil
	}
	if err != nil {
		return nil, explain(err, "read "+ref.String())
	}
	return decode(ref.Kind, doc)
}

// put stores a record over one with the same id.
func put(ctx context.Context, q querier, r desk.Record, doc []byte) error {
	t, h := tables[r.Kind()], r.Header()
	columns := append([]string{"id", "revision", "doc"}, t.columns...)
	args := append([]any{h.ID, h.Revision, string(doc)}, t.values(r)...)
	var set []string
	for _, c := range columns[1:] {
		set = append(set, c+" = excluded."+c)
	}
	_, err := q.ExecContext(ctx, fmt.Sprintf("INSERT INTO %s (%s) VALUES (%s) ON CONFLICT (id) DO UPDATE SET %s", t.name,
		strings.Join(columns, ", "), strings.TrimSuffix(strings.Repeat("?, ", len(columns)), ", "), strings.Join(set, ", ")), args...)
	return t.refused(err, desk.RefOf(r))
}

// remove deletes a record that is there.
func remove(ctx context.Context, q querier, ref desk.Ref) error {
	_, err := q.ExecContext(ctx, "DELETE FROM "+tables[ref.Kind].name+" WHERE id = ?", ref.ID)
	if isForeignKey(err) {
		return &desk.SeasonError{Is: desk.ErrInUse, Text: fmt.Sprintf(
			"%s is still needed by assignments, takes, marks, measurements or days of practice; delete those first, in the same change", ref)}
	}
	return explain(err, "delete "+ref.String())
}

// encode is the text of a record as it is stored.
func encode(r desk.Record) ([]byte, error) {
	doc, err := json.Marshal(r)
	if err != nil {
		return nil, &desk.SeasonError{Is: desk.ErrInvalid, Text: fmt.Sprintf("%s cannot be written as JSON", desk.RefOf(r)), Cause: err}
	}
	return doc, nil
}

func decode(k desk.Kind, doc []byte) (desk.Record, error) {
	r := desk.NewRecord(k)
	if err := json.Unmarshal(doc, r); err != nil {
		return nil, &desk.SeasonError{Is: desk.ErrDamaged, Text: fmt.Sprintf("a stored %s cannot be read", k), Cause: err}
	}
	return r, nil
}

// clone copies a record under a revision, so that nothing the caller holds is
// shared or altered.
func clone(r desk.Record, rev desk.Revision) (desk.Record, error) {
	doc, err := encode(r)
	if err != nil {
		return nil, err
	}
	c, err := decode(r.Kind(), doc)
	if err != nil {
		return nil, err
	}
	c.Header().Revision = rev
	return c, nil
}

// list reads the records of a query that selects doc.
func list[T any](ctx context.Context, q querier, query string, args ...any) ([]*T, error) {
	rows, err := q.QueryContext(ctx, query, args...)
	if err != nil {
		return nil, explain(err, "read the season")
	}
	defer rows.Close()
	out := []*T{}
	for rows.Next() {
		var doc sql.RawBytes
		if err := rows.Scan(&doc); err != nil {
			return nil, explain(err, "read the season")
		}
		r := new(T)
		if err := json.Unmarshal(doc, r); err != nil {
			return nil, &desk.SeasonError{Is: desk.ErrDamaged, Text: "a stored record cannot be read", Cause: err}
		}
		out = append(out, r)
	}
	return out, explain(rows.Err(), "read the season")
}

// milliseconds is a time as the columns hold it; the zero time comes before all.
func milliseconds(t time.Time) int64 {
	if t.IsZero() {
		return -1 << 62
	}
	return t.UnixMilli()
}
