package finding

import (
	"encoding/json"
	"slices"
	"testing"
)

func kinds(fs []Finding) []string {
	var out []string
	for _, f := range fs {
		out = append(out, f.Kind)
	}
	return out
}

func sample() []Finding {
	return []Finding{
		{Stage: Rhythm, Kind: "dotted", Weight: 0.3}, {Stage: Notes, Kind: "low", Weight: 0.2},
		{Stage: Choices, Kind: "breath", Weight: 0.9}, {Stage: Notes, Kind: "key", Weight: 0.6},
		{Stage: Rhythm, Kind: "meter", Weight: 0.3},
	}
}

func TestSortByStageThenWeight(t *testing.T) {
	fs := sample()
	Sort(fs)
	if want := []string{"key", "low", "dotted", "meter", "breath"}; !slices.Equal(kinds(fs), want) {
		t.Errorf("%v, want %v", kinds(fs), want)
	}
}

func TestTopKeepsTheHeaviestInOrder(t *testing.T) {
	fs := sample()
	Sort(fs)
	if got, want := kinds(Top(fs, 3)), []string{"key", "dotted", "breath"}; !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
	if len(Top(fs, -1)) != 5 || len(Top(fs, 9)) != 5 || len(Top(fs, 0)) != 0 {
		t.Error("a negative or large number keeps all, 0 none")
	}
}

func TestJSONNamesTheStage(t *testing.T) {
	for _, s := range Stages() {
		data, err := json.Marshal(Finding{Stage: s})
		var back Finding
		if err != nil || json.Unmarshal(data, &back) != nil || back.Stage != s {
			t.Errorf("%s: %s, %v", s, data, err)
		}
	}
	var f Finding
	if json.Unmarshal([]byte(`{"stage":"style"}`), &f) == nil {
		t.Error("an unknown stage is accepted")
	}
}
