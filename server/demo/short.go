package demo

import (
	"context"
	"fmt"

	"jambwright/models"
)

// partOf tells that a release came but for its last items, in the order in which they are walked, and when the rest was promised.
func (h *history) partOf(ctx context.Context, release int64, missing int) error {
	items, err := models.ReleaseItems(ctx, h.db, release)
	if err != nil {
		return err
	}
	if len(items) <= missing {
		return fmt.Errorf("the scenario has %d items in the release of which %d do not come", len(items), missing)
	}
	var came []int64
	for _, item := range items[:len(items)-missing] {
		came = append(came, item.ID)
	}
	at := h.day(-8, 9, 0)
	h.clock.Set(at)
	rest := models.Date{Date: workday(h.today, 1)}
	return h.db.Write(ctx, func(tx *models.Tx) error {
		_, err := models.ReceivePart(ctx, tx, models.PartReceived{
			ReleaseID: release, Drop: 1, Came: came, At: at, RestPromised: &rest,
			Cause: "one crate short", Source: "packing list of the supplier",
		}, models.Actor{Name: "buyer"})
		return err
	})
}
