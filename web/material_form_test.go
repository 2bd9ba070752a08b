package web

import (
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A field that the confirmation does not carry on would be lost between the preview and the deed.
func TestMaterialForm_ItsConfirmationCarriesEveryField(t *testing.T) {
	t.Parallel()
	form := MaterialForm{Items: []string{"7", "9"}}
	v := reflect.ValueOf(&form).Elem()
	want := []Choice{{"item", "7"}, {"item", "9"}}
	for i := range v.NumField() {
		name := v.Type().Field(i).Tag.Get("form")
		if v.Field(i).Kind() == reflect.String && name != "confirm" { // confirm is what the page itself adds
			v.Field(i).SetString("value of " + name)
			want = append(want, Choice{name, "value of " + name})
		}
	}
	assert.ElementsMatch(t, want, form.Hidden())
}
