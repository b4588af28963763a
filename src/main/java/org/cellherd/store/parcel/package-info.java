/**
 * What of a log is handed over to a centre: parcels, each the rows of one key as they stand, and
 * the journal of those that changed since a centre last said that it holds them.
 */
@NullMarked
package org.cellherd.store.parcel;

import org.jspecify.annotations.NullMarked;
