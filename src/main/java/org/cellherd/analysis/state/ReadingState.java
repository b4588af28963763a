package org.cellherd.analysis.state;

import java.util.OptionalInt;
import java.util.OptionalLong;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;
import org.jspecify.annotations.Nullable;

/** A whole reading as part of a fold's state. */
public final class ReadingState {
  private ReadingState() {}

  /** Writes a reading, or that there is none. */
  public static void save(@Nullable Reading reading, StateWriter out) {
    out.putBoolean(reading != null);
    if (reading == null) {
      return;
    }
    out.putLong(reading.timeMs()).putLong(reading.cells().count());
    for (int cell = 1; cell <= reading.cells().count(); cell++) {
      put(reading.value(Channel.cell(cell)), out);
    }
    out.putLong(reading.temperatures().count());
    for (int sensor = 1; sensor <= reading.temperatures().count(); sensor++) {
      put(reading.value(Channel.temperature(sensor)), out);
    }
    for (Channel.Kind kind : Channel.Kind.values()) {
      if (!kind.isNumbered()) {
        put(reading.value(Channel.of(kind)), out);
      }
    }
  }

  private static void put(OptionalLong value, StateWriter out) {
    out.putBoolean(value.isPresent());
    value.ifPresent(out::putLong);
  }

  /** The reading that was written; null for none. */
  public static @Nullable Reading restore(StateReader in) {
    if (!in.getBoolean()) {
      return null;
    }
    Reading.Builder b = Reading.at(in.getLong());
    b.cells(CellVoltages.ofOptional(numbered(in)));
    b.temperatures(Temperatures.ofOptional(numbered(in)));
    for (Channel.Kind kind : Channel.Kind.values()) {
      if (!kind.isNumbered() && in.getBoolean()) {
        b.value(kind, in.getLong());
      }
    }
    return b.build();
  }

  private static OptionalInt[] numbered(StateReader in) {
    int count = in.getInt();
    if (count < 0 || count > Channel.MAX_NUMBER) {
      throw new StateMismatch("reading of " + count + " channels");
    }
    OptionalInt[] values = new OptionalInt[count];
    for (int i = 0; i < count; i++) {
      values[i] = in.getBoolean() ? OptionalInt.of(in.getInt()) : OptionalInt.empty();
    }
    return values;
  }
}
