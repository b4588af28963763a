package org.cellherd.report.plot;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.time.LocalDate;
import java.time.ZoneId;
import java.util.Random;
import org.cellherd.analysis.Interval;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

final class PlottedDayTest {
  private static final Interval GONE_BY = Interval.exactly(100);

  private static final ZoneId ZONE = ZoneId.of("Europe/Lisbon");

  /** A day that goes on was heard in part, however well; a short one of spring was heard whole. */
  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4})
  void aDayThatIsNotOverIsHeardInPart(long seed) {
    Random random = new Random(seed);
    for (int n = 0; n < 366; n++) {
      LocalDate date = LocalDate.of(2026, 1, 1).plusDays(n);
      long from = date.atStartOfDay(ZONE).toInstant().toEpochMilli();
      long to = date.plusDays(1).atStartOfDay(ZONE).toInstant().toEpochMilli();
      long now = from + Duration.ofMinutes(1 + random.nextInt(21 * 60)).toMillis();

      assertThat(day(from, to).isPartlyHeard()).as("%s, seed %d", date, seed).isFalse();
      assertThat(day(from, now).isPartlyHeard()).as("%s, seed %d", date, seed).isTrue();
    }
  }

  private static PlotFindings.Day day(long from, long to) {
    return new PlotFindings.Day(from, to, GONE_BY, GONE_BY, 20, 80, 100);
  }
}
