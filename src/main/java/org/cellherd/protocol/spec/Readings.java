package org.cellherd.protocol.spec;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalLong;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.ReadingCsv;

/** Compares readings, channel by channel, in words. */
final class Readings {

  private Readings() {}

  static List<String> differences(Reading found, Reading expected) {
    List<String> differences = new ArrayList<>();
    for (Channel channel : ReadingCsv.of(Channel.MAX_NUMBER, Channel.MAX_NUMBER).channels()) {
      OptionalLong a = found.value(channel);
      OptionalLong b = expected.value(channel);
      if (!a.equals(b)) {
        differences.add(channel + " is " + text(channel, a) + ", expected " + text(channel, b));
      }
    }
    return differences;
  }

  private static String text(Channel channel, OptionalLong value) {
    return value.isEmpty()
        ? "missing"
        : BigDecimal.valueOf(value.getAsLong(), channel.kind().decimals()).toPlainString();
  }
}
