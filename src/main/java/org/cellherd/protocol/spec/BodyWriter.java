package org.cellherd.protocol.spec;

import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalLong;
import org.cellherd.pack.Reading;

/** Writes a message's data for a reading. Used once. */
final class BodyWriter {
  private final List<Field> fields;
  private final int fixedBytes;
  private final Reading reading;
  private final Counts counts;
  private final Map<String, Long> steering = new HashMap<>();
  private byte[] out = new byte[256];

  /**
   * A writer.
   *
   * @param told values of fields by which others are read, such as the page
   */
  BodyWriter(List<Field> fields, int fixedBytes, Reading reading, Map<String, Long> told) {
    this.fields = fields;
    this.fixedBytes = fixedBytes;
    this.reading = reading;
    this.counts = new Counts(fields, Optional.empty());
    steering.putAll(told);
    for (Field field : fields) {
      field
          .meaning()
          .direction()
          .ifPresent(d -> steering.put(d.field(), d.valueFor(reading.currentMa().orElse(0))));
    }
    for (Field field : fields) {
      if (!field.repetition().countField().isEmpty()) {
        steering.put(field.repetition().countField(), (long) count(field));
      }
    }
    counts.all().forEach((name, count) -> steering.putIfAbsent(name, count.applyAsLong(reading)));
  }

  private int count(Field field) {
    return counts.count(field, shift(field), reading);
  }

  private long shift(Field field) {
    return field
        .repetition()
        .pages()
        .map(p -> p.shift(steering.getOrDefault(p.field(), p.from())))
        .orElse(0L);
  }

  byte[] write() {
    Map<String, Integer> places = new HashMap<>();
    Map<String, Integer> repeats = new HashMap<>();
    int position = 0;
    int end = 0;
    for (Field field : fields) {
      int count = isThere(field) ? repeats(field) : 0;
      if (field.isOver()) {
        int parent = places.getOrDefault(field.place().over(), -1);
        count = Math.min(count == 0 ? 0 : 64, repeats.getOrDefault(field.place().over(), 0));
        writeAll(field, parent, count);
        continue;
      }
      int start = field.startAfter(position);
      if (count > 0) {
        position = start + (count - 1) * field.place().stride() + field.coding().bits();
        end = Math.max(end, position);
        writeAll(field, start, count);
      }
      places.put(field.name(), start);
      repeats.put(field.name(), count);
    }
    int bytes = fixedBytes >= 0 ? fixedBytes : (end + 7) / 8;
    room(Math.max((end + 7) / 8, bytes));
    return Arrays.copyOf(out, bytes);
  }

  private int repeats(Field field) {
    return field.repetition().countField().isEmpty() ? field.repetition().count() : count(field);
  }

  private boolean isThere(Field field) {
    return field.when().isEmpty() || field.when().get().holds(rawOf(field.when().get().field()));
  }

  /** Raw value of a single named field, slices over it included. */
  private long rawOf(String name) {
    return Body.named(fields, name)
        .map(
            field -> {
              long raw = field.isOver() ? ownRaw(field, 0) : withSlices(field, 0);
              return field.place().bit() >= 0 ? raw & field.sliceMask() : raw;
            })
        .orElse(0L);
  }

  private long withSlices(Field field, int index) {
    // What a reading holds is written last: a slice that is only shown may cover the same bits.
    return withSlices(field, index, false, withSlices(field, index, true, ownRaw(field, index)));
  }

  private long withSlices(Field field, int index, boolean isShownOnly, long before) {
    long raw = before;
    for (Field slice : fields) {
      boolean isSlice = slice.place().over().equals(field.name()) && slice.place().bit() >= 0;
      if (isSlice && isShownOnly == (slice.meaning().target() == Target.EXTRA)) {
        long mask = slice.sliceMask();
        long part = ownRaw(slice, index) & mask;
        raw = (raw & ~(mask << slice.place().bit())) | (part << slice.place().bit());
      }
    }
    return raw;
  }

  private void writeAll(Field field, int start, int count) {
    if (field.isOver() || start < 0) {
      return;
    }
    for (int i = 0; i < count; i++) {
      int at = start + i * field.place().stride();
      room(at / 8 + 1 + field.coding().bytes());
      if (field.coding().type() == Coding.Type.TEXT) {
        byte[] text = field.meaning().constant().text().getBytes(StandardCharsets.ISO_8859_1);
        System.arraycopy(text, 0, out, at / 8, Math.min(text.length, field.coding().bytes()));
      } else if (field.coding().type() == Coding.Type.SKIP) {
        int from = at / 8;
        Arrays.fill(
            out, from, from + field.coding().bytes(), (byte) field.meaning().constant().value());
      } else {
        long raw = withSlices(field, i);
        boolean sliced = field.place().bit() >= 0;
        field.coding().write(out, at, sliced ? raw << field.place().bit() : raw);
      }
    }
  }

  private void room(int bytes) {
    if (bytes > out.length) {
      out = Arrays.copyOf(out, Math.max(bytes, 2 * out.length));
    }
  }

  private long ownRaw(Field field, int index) {
    Long steered = steering.get(field.name());
    if (steered != null && !field.name().isEmpty()) {
      return steered;
    }
    Field.Meaning m = field.meaning();
    int first = (int) (m.first() + shift(field));
    OptionalLong inside = m.target().valueIn(reading, first + index);
    if (m.target().isMask()) {
      inside = m.target().valueIn(reading, 0);
      boolean isThere = inside.isPresent() && first < 64;
      return isThere ? inside.getAsLong() >>> first : m.constant().value();
    }
    if (inside.isEmpty()) {
      return nothing(field);
    }
    long value = inside.getAsLong();
    if (m.target().isTruth()) {
      long on = m.truth().isEmpty() ? 1 : m.truth().get(0);
      return value != 0 ? on : m.constant().value();
    }
    double size = m.direction().isPresent() ? Math.abs(value) : value;
    return readAs(field, size);
  }

  /** The raw value that is read as a value inside; where none is, the nearest. */
  private static long readAs(Field field, double inside) {
    Conversion conversion = field.meaning().conversion();
    long nearest = field.coding().raw(conversion.toNumber(inside));
    for (int step : new int[] {0, -1, 1}) {
      // A step of the raw value may be as long as one inside, and lie half between two of them.
      long raw = step == 0 ? nearest : field.coding().raw(field.coding().number(nearest) + step);
      OptionalDouble read = conversion.toInside(field.coding().number(raw));
      if (read.isPresent() && Math.floor(read.getAsDouble() + 0.5) == inside) {
        return raw;
      }
    }
    return nearest;
  }

  private static long nothing(Field field) {
    Field.Meaning m = field.meaning();
    if (!m.missing().isEmpty()) {
      return m.missing().get(0);
    }
    boolean isFloat = field.coding().type() == Coding.Type.FLOAT;
    boolean isReading = m.target() != Target.EXTRA && m.target() != Target.IDENTITY;
    return isFloat && isReading ? field.coding().raw(Double.NaN) : m.constant().value();
  }
}
