package org.cellherd.fleet;

import java.time.LocalDate;
import java.util.UUID;
import org.cellherd.analysis.state.StateMismatch;
import org.cellherd.store.Parcel;
import org.cellherd.store.ParcelRows;
import org.cellherd.store.sql.ParcelKind;

/**
 * A parcel that came in and could be read.
 *
 * @param arrived as it came
 * @param log UUID of the log
 * @param month that it lies in
 * @param pack that it is of; "" where neither rows nor key say
 * @param rows what it holds, of alerts and findings: the rows of 500 blocks are much memory
 * @param sums what it holds, of hours and days
 */
record ReadParcel(
    Arrived arrived, UUID log, LocalDate month, String pack, ParcelRows rows, ChannelSums sums) {

  /**
   * Reads one.
   *
   * @param month where it lies
   * @throws StateMismatch when its body is that of no parcel
   * @throws IllegalArgumentException when its log or key is none
   */
  static ReadParcel of(Arrived arrived, LocalDate month) {
    Parcel parcel = arrived.text().parcel();
    ParcelKind kind = parcel.kind();
    ParcelRows rows = parcel.isWithdrawn() ? ParcelRows.NONE : ParcelRows.of(kind, parcel.body());
    boolean isSums = kind == ParcelKind.HOUR || kind == ParcelKind.DAY;
    boolean isPlain = kind == ParcelKind.ALERT || kind == ParcelKind.FINDING;
    return new ReadParcel(
        arrived,
        UUID.fromString(arrived.text().log()),
        month,
        rows.pack().isEmpty() && isSums ? key(parcel, 2) : rows.pack(),
        isPlain ? rows : ParcelRows.NONE,
        isSums ? ChannelSums.of(rows) : ChannelSums.NONE);
  }

  String site() {
    return arrived.lane().site();
  }

  Parcel parcel() {
    return arrived.text().parcel();
  }

  String key(int part) {
    return key(parcel(), part);
  }

  private static String key(Parcel parcel, int part) {
    return parcel.key().split("/", parcel.kind().keyParts())[part];
  }

  /** In this order parcels are stored, so that gatherers do not wait for each other in a circle. */
  static int inOrder(ReadParcel a, ReadParcel b) {
    int order = a.site().compareTo(b.site());
    order = order == 0 ? a.log.compareTo(b.log) : order;
    order = order == 0 ? a.month.compareTo(b.month) : order;
    order = order == 0 ? a.parcel().kind().compareTo(b.parcel().kind()) : order;
    order = order == 0 ? a.parcel().key().compareTo(b.parcel().key()) : order;
    return order == 0 ? Long.compare(a.parcel().rev(), b.parcel().rev()) : order;
  }
}
