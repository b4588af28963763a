package org.cellherd.fleet;

import org.cellherd.forward.wire.CentreAnswer;
import org.cellherd.forward.wire.HeldText;
import org.cellherd.forward.wire.Lane;
import org.cellherd.forward.wire.RefusedText;
import org.cellherd.store.parcel.Parcel;

/**
 * What a site is told.
 *
 * @param lane of the site
 * @param text what became of one parcel
 */
record SiteAnswer(Lane lane, CentreAnswer text) {

  /** The parcel is held as it came. */
  static SiteAnswer of(Arrived arrived, long topRev, boolean isShared) {
    Parcel parcel = arrived.text().parcel();
    HeldText held =
        new HeldText(
            arrived.text().log(),
            arrived.text().token(),
            parcel.rev(),
            parcel.crc(),
            topRev,
            isShared);
    return new SiteAnswer(arrived.lane(), held);
  }

  /** The parcel is not held, and will not be by this program. */
  static SiteAnswer refused(Arrived arrived, String why) {
    return new SiteAnswer(
        arrived.lane(), new RefusedText(arrived.text().log(), arrived.text().token(), why));
  }
}
