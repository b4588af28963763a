/**
 * A site's side of many sites: parcels of its log go to a centre over the broker, few at a time and
 * from the log itself, until the centre says that it holds them. Off unless {@code [forward]} is
 * configured.
 */
@NullMarked
package org.cellherd.forward;

import org.jspecify.annotations.NullMarked;
