package org.cellherd.mqtt;

import java.math.BigDecimal;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.OptionalLong;
import org.cellherd.json.IsoTime;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Reading;

/** A reading as property values; what the board did not tell has none, since NaN is not allowed. */
final class HomieValues {

  private HomieValues() {}

  /** Values by {@code node/property}. */
  static Map<String, String> of(Reading reading, int series) {
    Map<String, String> values = new LinkedHashMap<>();
    put(values, "pack/voltage", reading, Channel.of(Channel.Kind.PACK_VOLTAGE));
    put(values, "pack/current", reading, Channel.of(Channel.Kind.CURRENT));
    put(values, "pack/soc", reading, Channel.of(Channel.Kind.SOC));
    reading
        .cells()
        .spreadTenthMv()
        .ifPresent(spread -> values.put("pack/spread", decimal(spread, 4)));
    OptionalLong hottest = hottest(reading);
    if (hottest.isPresent()) {
      values.put("pack/temperature-max", decimal(hottest.getAsLong(), 1));
    }
    values.put("pack/reading-time", IsoTime.of(reading.timeMs()));
    for (int cell = 1; cell <= series; cell++) {
      put(values, "cells/" + HomieDescription.cellId(cell), reading, Channel.cell(cell));
    }
    return values;
  }

  private static OptionalLong hottest(Reading reading) {
    OptionalLong hottest = OptionalLong.empty();
    for (int sensor = 1; sensor <= reading.temperatures().count(); sensor++) {
      if (reading.temperatures().has(sensor)) {
        long tenth = reading.temperatures().tenthC(sensor);
        hottest = OptionalLong.of(Math.max(tenth, hottest.orElse(tenth)));
      }
    }
    return hottest;
  }

  private static void put(
      Map<String, String> values, String property, Reading reading, Channel channel) {
    OptionalLong value = reading.value(channel);
    if (value.isPresent()) {
      values.put(property, decimal(value.getAsLong(), channel.kind().decimals()));
    }
  }

  private static String decimal(long stored, int decimals) {
    return BigDecimal.valueOf(stored, decimals).toPlainString();
  }
}
