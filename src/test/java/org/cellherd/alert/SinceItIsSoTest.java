package org.cellherd.alert;

import java.time.LocalTime;
import java.time.format.DateTimeFormatter;
import java.util.List;
import java.util.Random;
import java.util.stream.LongStream;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * What can only be noticed late is dated from when it began: a silence from the last reading, the
 * same figures from the first of them.
 */
class SinceItIsSoTest {

  private static final DateTimeFormatter CLOCK = DateTimeFormatter.ofPattern("HH:mm");
  private static final String FIGURES = "cells 3.30 3.30 3.30 3.30 current -5";

  static LongStream seeds() {
    long first = Long.getLong("cellherd.seed", 1);
    return LongStream.range(first, first + Integer.getInteger("cellherd.runs", 5));
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void aSilenceBeganWithTheLastReading(long seed) throws Exception {
    Random random = new Random(seed);
    LocalTime last = LocalTime.of(3 + random.nextInt(9), random.nextInt(60));
    int silent = 5 + random.nextInt(20);
    String cause = List.of("port-missing", "no-bytes", "bad-checksum").get(random.nextInt(3));

    new AlertScenario()
        .run(
            List.of(
                "pack lfp 4 cells 100 Ah charge 14.2 V",
                "noise 1",
                "clock " + CLOCK.format(last.minusMinutes(20)),
                // Readings from the first second on; the last one a second before the minute.
                "feed 1201 s " + FIGURES,
                "silence " + silent + " min " + cause,
                "told silent raised warning",
                "text silent The board is silent, since " + CLOCK.format(last) + ".",
                "feed 4 min " + FIGURES,
                "told silent cleared warning"));
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void theSameFiguresBeganWithTheFirst(long seed) throws Exception {
    Random random = new Random(seed);
    LocalTime began = LocalTime.of(3 + random.nextInt(9), random.nextInt(60));

    new AlertScenario()
        .run(
            List.of(
                "pack lfp 4 cells 100 Ah charge 14.2 V",
                "noise 1",
                "clock " + CLOCK.format(began.minusMinutes(30)),
                "feed 1800 s " + FIGURES,
                "noise 0",
                "feed " + (35 + random.nextInt(20)) + " min " + FIGURES,
                "told frozen raised warning",
                "text frozen , since " + CLOCK.format(began) + "."));
  }

  /** While the sensor says nothing nobody knows whether it stayed hot. */
  @ParameterizedTest
  @MethodSource("seeds")
  void whatWasNotJudgedForLongBeganWhenItWasSeenAgain(long seed) throws Exception {
    Random random = new Random(seed);
    LocalTime again = LocalTime.of(12 + random.nextInt(9), random.nextInt(60));
    int unseen = 10 + random.nextInt(600);

    new AlertScenario()
        .run(
            List.of(
                "pack lfp 4 cells 100 Ah charge 14.2 V",
                "noise 1",
                "clock " + CLOCK.format(again.minusMinutes(unseen + 20)),
                "feed 1180 s " + FIGURES + " temps 25",
                // Less than the 30 s of the rule.
                "feed 20 s " + FIGURES + " temps 70",
                "feed " + unseen + " min " + FIGURES,
                "quiet",
                "feed 2 min " + FIGURES + " temps 70",
                "told hot raised critical",
                "text hot , since " + CLOCK.format(again) + "."));
  }
}
