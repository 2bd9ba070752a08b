package server

import (
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/require"

	"jambwright/web"
)

// smallModel is an invented building model: a door with its mark and storey, and a window without a size.
const smallModel = `ISO-10303-21;
HEADER;
FILE_SCHEMA(('IFC4'));
ENDSEC;
DATA;
#1=IFCPROJECT('p',$,'P',$,$,$,$,$,#2);
#2=IFCUNITASSIGNMENT((#3));
#3=IFCSIUNIT(*,.LENGTHUNIT.,.MILLI.,.METRE.);
#5=IFCBUILDINGSTOREY('s',$,'Level 7',$,$,$,$,$,.ELEMENT.,21000.);
#6=IFCRELCONTAINEDINSPATIALSTRUCTURE('c',$,$,$,(#10,#11),#5);
#10=IFCDOOR('d',$,'Door',$,$,$,$,'77',2134.,1829.,.DOOR.,.DOUBLE_DOOR_SINGLE_SWING.,$);
#11=IFCWINDOW('w',$,'Window',$,$,$,$,'78',$,$,$,$,$);
#12=IFCPROPERTYSINGLEVALUE('Mark',$,IFCLABEL('M\X\E9zz-7'),$);
#13=IFCPROPERTYSET('x',$,'Identity',$,(#12));
#14=IFCRELDEFINESBYPROPERTIES('r',$,$,$,(#10),#13);
ENDSEC;
END-ISO-10303-21;
`

func TestImport_ReadsTheOpeningsOfABuildingModel(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	b := s.as(web.RoleOperations)
	require.Contains(t, b.get("/import").body, ".ifc", "the page offers models")
	form := map[string]string{"project": "", "new_project": "Model Yard", "zone": "America/Chicago", "kind": "openings"}
	preview := b.upload("/import/preview", form, "yard.ifc", smallModel)
	require.Equal(t, http.StatusOK, preview.status, preview.text())
	require.Contains(t, preview.text(), "Mézz-7")
	require.Contains(t, preview.text(), "schema IFC4, lengths in millimetre")
	require.Contains(t, preview.text(), "IfcWindow 78: the size is missing", "the window's fault stands on the page")

	refused := b.post("/import/apply", url.Values{"token": {preview.value("token")}})
	require.Equal(t, http.StatusUnprocessableEntity, refused.status)
	saved := b.post("/import/apply", url.Values{"token": {refused.value("token")}, "leave_out": {"yes"}})
	require.Equal(t, http.StatusOK, saved.status, saved.text())
	require.Contains(t, saved.text(), "Mézz-7")
	require.Contains(t, saved.text(), "Level 7")
	require.NotContains(t, saved.body, ">78<", "the window was left out")
}
