package org.cellherd.fleet;

import org.cellherd.forward.wire.CentreAnswer;
import org.cellherd.forward.wire.Lane;
import org.cellherd.store.Parcel;

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
    CentreAnswer.Held held =
        new CentreAnswer.Held(
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
        arrived.lane(),
        new CentreAnswer.Refused(arrived.text().log(), arrived.text().token(), why));
  }
}
