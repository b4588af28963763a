package org.cellherd.protocol.spec;

import java.util.HashMap;
import java.util.Map;
import java.util.OptionalLong;
import org.jspecify.annotations.Nullable;

/** Goes through a message's fields and says where each stands in given data, in bits. Used once. */
final class Walk {

  /** Where a field stands and how often; count 0 when its condition does not hold. */
  record Spot(int start, int count, int stride, boolean known) {
    static final Spot UNKNOWN = new Spot(0, 0, 0, false);

    int at(int index) {
      return start + index * stride;
    }

    boolean endsBeyond(Field field, int bytes) {
      return count > 0 && at(count - 1) + field.coding().bits() > 8 * bytes;
    }
  }

  /** No message has more values of a kind: then its count is none. */
  private static final int MOST_TOLD = 1 << 16;

  private final Map<String, Long> raws = new HashMap<>();
  private final Map<String, Spot> spots = new HashMap<>();
  private final byte[] data;
  private final int available;
  private int position;
  private boolean isLost;
  private int end;

  private final RawValues told;

  Walk(byte[] data, int available, RawValues told) {
    this.data = data;
    this.available = available;
    this.told = told;
  }

  /** The field's spot; unknown while a count or condition before it is not there yet. */
  Spot step(Field field) {
    Spot spot = locate(field);
    if (!spot.known) {
      return spot;
    }
    int size = field.coding().bits();
    if (spot.count > 0 && !field.isOver()) {
      position = spot.at(spot.count - 1) + size;
      end = Math.max(end, position);
    }
    if (!field.name().isEmpty()) {
      spots.put(field.name(), spot);
      if (spot.count > 0 && spot.start + size <= 8 * available) {
        OptionalLong raw = field.coding().read(data, spot.start);
        raw.ifPresent(value -> raws.put(field.name(), field.slice(value)));
      }
    }
    return spot;
  }

  private Spot locate(Field field) {
    if (field.when().isPresent()) {
      Long raw = raw(field.when().get().field());
      if (raw == null) {
        return wasSkipped(field.when().get().field()) ? absent() : Spot.UNKNOWN;
      }
      if (!field.when().get().holds(raw)) {
        return absent();
      }
    }
    if (field.isOver()) {
      Spot parent = spots.get(field.place().over());
      return parent == null ? Spot.UNKNOWN : parent;
    }
    int count = field.repetition().count();
    if (!field.repetition().countField().isEmpty()) {
      Long raw = raw(field.repetition().countField());
      if (raw == null) {
        return Spot.UNKNOWN;
      }
      // What is measured is described in full; of the rest a board may have learnt to tell more.
      long most = field.isNeeded() ? count : MOST_TOLD;
      count = raw < 0 || raw > most ? -1 : raw.intValue();
    }
    int start = field.startAfter(position);
    return new Spot(start, count, field.place().stride(), true);
  }

  private boolean wasSkipped(String name) {
    Spot spot = spots.get(name);
    return spot != null && spot.count == 0;
  }

  private Spot absent() {
    return new Spot(position, 0, 0, true);
  }

  /** Nobody knows where the last field ends: what stands behind it is not to be found. */
  void lose() {
    isLost = true;
    position = 8 * data.length;
  }

  /** As told by {@link #lose}. */
  boolean isLost() {
    return isLost;
  }

  /** Bytes that the fields seen so far take. */
  int end() {
    return (end + 7) / 8;
  }

  /** The raw value of a field seen before, or told by another message, if it is there. */
  @Nullable Long raw(String name) {
    Long own = raws.get(name);
    return own == null ? told.raw(name) : own;
  }

  /** The raw values of the named fields seen. */
  Map<String, Long> raws() {
    return raws;
  }
}
