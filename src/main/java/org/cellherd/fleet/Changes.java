package org.cellherd.fleet;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Function;
import org.cellherd.store.sql.ParcelKind;

/**
 * What some parcels change in a table, each row once: a statement cannot touch one twice.
 *
 * @param put rows that are there
 * @param withdrawn rows that are not any more
 */
record Changes(List<ReadParcel> put, List<ReadParcel> withdrawn) {

  /**
   * Of parcels of any kind, in their order: of one row the last counts.
   *
   * @param key what tells one row from every other within a log
   */
  static Changes of(List<ReadParcel> parcels, ParcelKind kind, Function<ReadParcel, List<?>> key) {
    Map<List<?>, ReadParcel> newest = new LinkedHashMap<>();
    for (ReadParcel each : parcels) {
      if (each.parcel().kind() == kind) {
        newest.put(List.of(each.site(), each.log(), key.apply(each)), each);
      }
    }
    List<ReadParcel> put = new ArrayList<>();
    List<ReadParcel> withdrawn = new ArrayList<>();
    newest.values().forEach(p -> (p.parcel().isWithdrawn() ? withdrawn : put).add(p));
    return new Changes(put, withdrawn);
  }
}
