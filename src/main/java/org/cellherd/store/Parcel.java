package org.cellherd.store;

import org.cellherd.store.codec.PackedBytes;
import org.cellherd.store.sql.ParcelKind;

/**
 * The rows of one key of a log as they stand.
 *
 * @param kind which table
 * @param key which rows; a parcel's time, where it has one, is part of it
 * @param rev number of the change that made them so: higher is newer, within one log
 * @param body the rows as {@link ParcelRows} packs them; empty when there are none any more
 */
public record Parcel(ParcelKind kind, String key, long rev, PackedBytes body) {

  /** True when the log has no such rows any more. */
  public boolean isWithdrawn() {
    return body.bytes().length == 0;
  }

  /** CRC-32C of the body. */
  public long crc() {
    return ReadingsRow.crc(body.bytes());
  }
}
