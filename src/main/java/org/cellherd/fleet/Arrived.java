package org.cellherd.fleet;

import org.cellherd.forward.wire.Lane;
import org.cellherd.forward.wire.ParcelText;

/**
 * A whole parcel that came in.
 *
 * @param lane of the site that sent it
 * @param text the message, with all bytes
 */
record Arrived(Lane lane, ParcelText text) {}
