package org.cellherd.fleet;

import org.cellherd.forward.wire.HeldText;
import org.cellherd.forward.wire.Lane;
import org.cellherd.store.parcel.Parcel;

/**
 * What a site is told.
 *
 * @param lane of the site
 * @param held what is held of one parcel
 */
record HeldAnswer(Lane lane, HeldText held) {

  /** The parcel is held as it came. */
  static HeldAnswer of(Arrived arrived, long topRev, boolean isShared) {
    Parcel parcel = arrived.text().parcel();
    HeldText held =
        new HeldText(
            arrived.text().log(),
            arrived.text().token(),
            parcel.rev(),
            parcel.crc(),
            topRev,
            isShared);
    return new HeldAnswer(arrived.lane(), held);
  }
}
