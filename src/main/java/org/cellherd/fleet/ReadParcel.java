package org.cellherd.fleet;

import java.sql.Date;
import java.time.LocalDate;
import java.util.UUID;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.store.parcel.Parcel;
import org.cellherd.store.parcel.ParcelRows;
import org.cellherd.store.sql.ParcelKind;

/**
 * A parcel that came in and could be read.
 *
 * @param arrived as it came
 * @param log UUID of the log
 * @param month that it lies in
 * @param rows what it holds; none where it was withdrawn
 */
record ReadParcel(Arrived arrived, UUID log, Date month, ParcelRows rows) {

  /**
   * Reads one.
   *
   * @param month where it lies
   * @throws StateMismatch when its body is that of no parcel
   * @throws IllegalArgumentException when its log or key is none
   */
  static ReadParcel of(Arrived arrived, LocalDate month) {
    Parcel parcel = arrived.text().parcel();
    ParcelRows rows =
        parcel.isWithdrawn() ? ParcelRows.NONE : ParcelRows.of(parcel.kind(), parcel.body());
    return new ReadParcel(
        arrived, UUID.fromString(arrived.text().log()), Date.valueOf(month), rows);
  }

  String site() {
    return arrived.lane().site();
  }

  Parcel parcel() {
    return arrived.text().parcel();
  }

  /** A part of its key. */
  String key(int part) {
    return parcel().key().split("/", parcel().kind().keyParts())[part];
  }

  /** The pack that it is of; "" where neither rows nor key say. */
  String pack() {
    boolean isInKey = parcel().kind() == ParcelKind.HOUR || parcel().kind() == ParcelKind.DAY;
    return rows.pack().isEmpty() && isInKey ? key(2) : rows.pack();
  }
}
