package org.cellherd.analysis.state;

import java.util.Arrays;
import java.util.OptionalInt;
import java.util.OptionalLong;
import java.util.function.IntFunction;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;
import org.jspecify.annotations.Nullable;

/** A whole reading as part of a fold's state. */
public final class ReadingState {
  private static final Reading BLANK = Reading.at(0).build();

  private ReadingState() {}

  /** A reading, or that there is none. */
  public static @Nullable Reading of(@Nullable Reading now, State io) {
    return io.orNull(now, BLANK, ReadingState::whole);
  }

  private static Reading whole(Reading now, State io) {
    Reading.Builder b = Reading.at(io.number(now.timeMs()));
    b.cells(CellVoltages.ofOptional(numbered(now, now.cells().count(), Channel::cell, io)));
    b.temperatures(
        Temperatures.ofOptional(
            numbered(now, now.temperatures().count(), Channel::temperature, io)));
    for (Channel.Kind kind : Channel.Kind.values()) {
      if (!kind.isNumbered()) {
        value(now.value(Channel.of(kind)), io).ifPresent(v -> b.value(kind, v));
      }
    }
    return b.build();
  }

  private static OptionalInt[] numbered(
      Reading now, int count, IntFunction<Channel> channel, State io) {
    OptionalInt[] values = new OptionalInt[io.within(count, 0, Channel.MAX_NUMBER)];
    Arrays.setAll(
        values,
        i -> {
          OptionalLong value = value(now.value(channel.apply(i + 1)), io);
          return value.isPresent()
              ? OptionalInt.of(Math.toIntExact(value.getAsLong()))
              : OptionalInt.empty();
        });
    return values;
  }

  private static OptionalLong value(OptionalLong now, State io) {
    return io.flag(now.isPresent())
        ? OptionalLong.of(io.number(now.orElse(0)))
        : OptionalLong.empty();
  }
}
