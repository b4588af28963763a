package org.cellherd.protocol;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.OptionalLong;
import java.util.Random;
import java.util.TreeMap;
import java.util.stream.Collectors;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Reading;
import org.junit.jupiter.api.Test;

class ThinnedReadingsTest {

  private static List<Reading> drawn(Random random) {
    List<Reading> readings = new ArrayList<>();
    long at = 1_700_000_000_000L;
    for (int i = 0; i < 200; i++) {
      at += random.nextInt(40) == 0 ? random.nextInt(900_000) : random.nextInt(20_000);
      readings.add(RandomReadings.any(random, 5, 3).atTime(at));
    }
    return readings;
  }

  private static List<Reading> thinned(List<Reading> all, long every, ThinnedReadings.By by) {
    ThinnedReadings thinned = new ThinnedReadings(every, by);
    List<Reading> rows = new ArrayList<>();
    all.forEach(r -> thinned.take(r).ifPresent(rows::add));
    thinned.end().ifPresent(rows::add);
    return rows;
  }

  private static Map<Long, List<Reading>> byInterval(List<Reading> all, long every) {
    return all.stream()
        .collect(Collectors.groupingBy(r -> r.timeMs() / every, TreeMap::new, Collectors.toList()));
  }

  @Test
  void theLastOfEachIntervalIsOneOfTheReadings() {
    for (int seed = 0; seed < 100; seed++) {
      List<Reading> all = drawn(new Random(seed));
      List<Reading> right = new ArrayList<>();
      byInterval(all, 60_000).values().forEach(rows -> right.add(rows.get(rows.size() - 1)));

      assertThat(thinned(all, 60_000, ThinnedReadings.By.LAST))
          .as("seed %d", seed)
          .isEqualTo(right);
    }
  }

  @Test
  void eachValueIsTheMeanOfThoseThatAreThere() {
    for (int seed = 0; seed < 100; seed++) {
      List<Reading> all = drawn(new Random(seed));
      List<Reading> rows = thinned(all, 300_000, ThinnedReadings.By.MEAN);
      Map<Long, List<Reading>> right = byInterval(all, 300_000);
      assertThat(rows).as("seed %d", seed).hasSameSizeAs(right.values());
      int i = 0;
      for (Map.Entry<Long, List<Reading>> interval : right.entrySet()) {
        Reading row = rows.get(i++);
        assertThat(row.timeMs()).as("seed %d", seed).isEqualTo(interval.getKey() * 300_000);
        for (Channel channel : ReadingCsv.of(5, 3).channels()) {
          assertThat(row.value(channel))
              .as("seed %d, %s, interval %d", seed, channel, interval.getKey())
              .isEqualTo(right(interval.getValue(), channel));
        }
      }
    }
  }

  private static OptionalLong right(List<Reading> readings, Channel channel) {
    List<Long> values =
        readings.stream()
            .map(r -> r.value(channel))
            .filter(OptionalLong::isPresent)
            .map(OptionalLong::getAsLong)
            .toList();
    if (values.isEmpty()) {
      return OptionalLong.empty();
    }
    if (channel.kind().decimals() == 0) {
      return OptionalLong.of(values.get(values.size() - 1));
    }
    BigDecimal sum =
        values.stream().map(BigDecimal::valueOf).reduce(BigDecimal.ZERO, BigDecimal::add);
    return OptionalLong.of(
        sum.divide(BigDecimal.valueOf(values.size()), 0, RoundingMode.HALF_UP).longValueExact());
  }
}
