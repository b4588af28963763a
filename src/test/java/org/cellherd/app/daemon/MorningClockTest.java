package org.cellherd.app.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Instant;
import java.time.LocalDateTime;
import java.time.LocalTime;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;

class MorningClockTest {

  /** Summer time from 29 March to 25 October 2026 (IANA time zone database). */
  private static final ZoneId BERLIN = ZoneId.of("Europe/Berlin");

  private static final long MINUTE = TimeUnit.MINUTES.toMillis(1);

  private static long ms(String local) {
    return LocalDateTime.parse(local).atZone(BERLIN).toInstant().toEpochMilli();
  }

  /** Local times at which it is due, asked each minute. */
  private static List<String> due(MorningClock clock, String from, String to) {
    List<String> told = new ArrayList<>();
    for (long now = ms(from); now < ms(to); now += MINUTE) {
      if (clock.isDue(now)) {
        told.add(Instant.ofEpochMilli(now).atZone(BERLIN).toLocalDateTime().toString());
      }
    }
    return told;
  }

  @Test
  void isDueOnceADayAtItsTime() {
    MorningClock clock = new MorningClock(LocalTime.of(6, 30), BERLIN, ms("2026-06-01T12:00"));

    assertThat(due(clock, "2026-06-01T12:00", "2026-06-04T12:00"))
        .containsExactly("2026-06-02T06:30", "2026-06-03T06:30", "2026-06-04T06:30");
  }

  @Test
  void changesOfSummerTimeNeitherSkipNorDoubleADay() {
    MorningClock clock = new MorningClock(LocalTime.of(6, 30), BERLIN, ms("2026-03-27T12:00"));
    assertThat(due(clock, "2026-03-27T12:00", "2026-03-30T12:00"))
        .containsExactly("2026-03-28T06:30", "2026-03-29T06:30", "2026-03-30T06:30");

    clock = new MorningClock(LocalTime.of(6, 30), BERLIN, ms("2026-10-23T12:00"));
    assertThat(due(clock, "2026-10-23T12:00", "2026-10-26T12:00"))
        .containsExactly("2026-10-24T06:30", "2026-10-25T06:30", "2026-10-26T06:30");
  }

  @Test
  void timeThatADaySkipsIsToldBehindTheGapAndADoubledOneOnce() {
    MorningClock clock = new MorningClock(LocalTime.of(2, 30), BERLIN, ms("2026-03-27T12:00"));
    assertThat(due(clock, "2026-03-27T12:00", "2026-03-30T12:00"))
        .containsExactly("2026-03-28T02:30", "2026-03-29T03:30", "2026-03-30T02:30");

    clock = new MorningClock(LocalTime.of(2, 30), BERLIN, ms("2026-10-23T12:00"));
    assertThat(due(clock, "2026-10-23T12:00", "2026-10-26T12:00"))
        .containsExactly("2026-10-24T02:30", "2026-10-25T02:30", "2026-10-26T02:30");
  }

  @Test
  void afterASleepOverItsTimeItIsToldOnceAndLate() {
    MorningClock clock = new MorningClock(LocalTime.of(6, 30), BERLIN, ms("2026-06-01T12:00"));

    assertThat(due(clock, "2026-06-01T12:00", "2026-06-01T23:00")).isEmpty();
    assertThat(due(clock, "2026-06-05T09:00", "2026-06-06T07:00"))
        .containsExactly("2026-06-05T09:00", "2026-06-06T06:30");
  }

  @Test
  void runThatBeginsWithinTheHourTellsItAfterAMinuteLaterOnesWait() {
    MorningClock soon = new MorningClock(LocalTime.of(6, 30), BERLIN, ms("2026-06-01T07:10"));
    assertThat(due(soon, "2026-06-01T07:10", "2026-06-01T12:00"))
        .containsExactly("2026-06-01T07:11");

    MorningClock late = new MorningClock(LocalTime.of(6, 30), BERLIN, ms("2026-06-01T07:40"));
    assertThat(due(late, "2026-06-01T07:40", "2026-06-01T12:00")).isEmpty();
  }

  @Test
  void clockSetBackByDaysDoesNotSilenceIt() {
    MorningClock clock = new MorningClock(LocalTime.of(6, 30), BERLIN, ms("2026-06-09T12:00"));

    assertThat(due(clock, "2026-06-01T12:00", "2026-06-02T12:00"))
        .containsExactly("2026-06-02T06:30");
  }
}
