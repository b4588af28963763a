package org.cellherd.protocol.spec;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.util.List;
import java.util.Optional;
import java.util.OptionalLong;
import java.util.Random;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Dialogue.Extra;
import org.cellherd.protocol.ReadingCsv;
import org.cellherd.protocol.ReadingCsvReader;
import org.cellherd.protocol.ReadingCsvWriter;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.Test;

/**
 * Drawn descriptions and drawn raw words over their full range, judged by unbounded arithmetic:
 * what is not measured never costs the reading, and nothing is taken for what it is not.
 */
class FullRangeTest {

  private static final int BOARDS = 4000;

  @Test
  void whatIsNotMeasuredNeverCostsTheReading() {
    for (int seed = 0; seed < BOARDS; seed++) {
      DrawnSpec board = new DrawnSpec(new Random(seed), "");
      SpecDialogue dialogue = board.heard();

      Optional<Reading> reading = dialogue.reading(5);

      String which = "seed " + seed + ": " + board + " " + dialogue.lastRefusal();
      assertThat(reading).as(which).isPresent();
      assertThat(reading.orElseThrow().cells()).as(which).isEqualTo(CellVoltages.ofMv(3331, 3330));
      assertThat(reading.orElseThrow().currentMa()).as(which).hasValue(12_500);
      board.fields().forEach(f -> judge(f, reading.orElseThrow(), dialogue, which));
      assertThat(throughCsv(reading.orElseThrow())).as(which).contains(reading.orElseThrow());
    }
  }

  @Test
  void aMeasuredValueIsExactOrTheReadingIsRefused() {
    int refused = 0;
    for (int seed = 0; seed < BOARDS; seed++) {
      String as = seed % 2 == 0 ? "temperature" : "pack_voltage";
      DrawnSpec board = new DrawnSpec(new Random(seed), as);
      SpecDialogue dialogue = board.heard();
      DrawnField wild = board.fields().get(board.fields().size() - 1);

      Optional<Reading> reading = dialogue.reading(5);

      String which = "seed " + seed + ": " + board + " " + dialogue.lastRefusal();
      Channel channel = channel(as);
      Optional<BigInteger> right = wild.stored(channel.kind().decimals());
      if (right.isEmpty() && !wild.isNaN()) {
        assertThat(reading).as(which).isEmpty();
        refused++;
      } else {
        check(wild, channel, reading.orElseThrow(() -> new AssertionError(which)), which);
      }
    }
    assertThat(refused).isBetween(BOARDS / 20, BOARDS / 2);
  }

  private static void judge(DrawnField field, Reading reading, SpecDialogue talk, String which) {
    boolean said =
        talk.doubts().stream().anyMatch(d -> d.name().equals(field.name()) && !d.isKept());
    switch (field.as()) {
      case "" -> {
        Optional<String> shown = shown(field, talk.extras());
        assertThat(said).as(which).isEqualTo(field.number().isEmpty() && !field.isNaN());
        assertThat(shown.isPresent()).as(which).isEqualTo(field.number().isPresent());
        shown.ifPresent(text -> near(field, new BigDecimal(text), which));
      }
      case "identity" -> {
        String number = field.number().map(BigDecimal::toPlainString).orElse("");
        assertThat(talk.boardIdentity()).as(which).isEqualTo(number);
        assertThat(said).as(which).isEqualTo(field.number().isEmpty());
      }
      case "charge_switch", "discharge_switch" -> {
        OptionalLong state = reading.value(channel(field.as()));
        assertThat(state.isPresent()).as(which).isEqualTo(field.number().isPresent());
        state.ifPresent(
            s ->
                assertThat(s == 1).as(which).isEqualTo(field.number().orElseThrow().signum() != 0));
      }
      default -> {
        check(field, channel(field.as()), reading, which);
        boolean lost = reading.value(channel(field.as())).isEmpty() && !field.isNaN();
        assertThat(said).as(which).isEqualTo(lost);
      }
    }
  }

  /**
   * Whole numbers are shown to the sixth decimal, scaled ones too; reals as a double holds them.
   */
  private static void near(DrawnField field, BigDecimal shown, String which) {
    BigDecimal right = field.number().orElseThrow().movePointRight(field.scale());
    boolean exact = !field.type().startsWith("f");
    BigDecimal error = exact ? BigDecimal.ZERO : right.abs().movePointLeft(14);
    BigDecimal printed = exact ? BigDecimal.ZERO : new BigDecimal("0.000001");
    assertThat(shown.subtract(right).abs()).as(which).isLessThanOrEqualTo(error.add(printed));
  }

  private static Optional<String> shown(DrawnField field, List<Extra> extras) {
    return extras.stream().filter(e -> e.name().equals(field.name())).map(Extra::text).findFirst();
  }

  private static void check(DrawnField field, Channel channel, Reading reading, String which) {
    OptionalLong value = reading.value(channel);
    Optional<BigInteger> right = field.stored(channel.kind().decimals());
    assertThat(value.isPresent()).as(which).isEqualTo(right.isPresent());
    if (value.isPresent() && field.isMask()) {
      assertThat(Long.toUnsignedString(value.getAsLong()))
          .as(which)
          .isEqualTo(right.orElseThrow().toString());
    } else if (value.isPresent()) {
      // A float's value times a power of ten may lie on either side of a half.
      long away = Math.abs(value.getAsLong() - right.orElseThrow().longValueExact());
      assertThat(away).as(which).isLessThanOrEqualTo(field.type().startsWith("f") ? 1 : 0);
    }
  }

  private static Channel channel(String as) {
    return as.equals("temperature")
        ? Channel.temperature(1)
        : Channel.of(
            switch (as) {
              case "alarms" -> Channel.Kind.BOARD_ALARMS;
              case "bleed_mask" -> Channel.Kind.BLEED_MASK;
              case "soc" -> Channel.Kind.SOC;
              case "board_charge" -> Channel.Kind.BOARD_CHARGE;
              case "charge_switch" -> Channel.Kind.CHARGE_SWITCH;
              case "discharge_switch" -> Channel.Kind.DISCHARGE_SWITCH;
              case "pack_voltage" -> Channel.Kind.PACK_VOLTAGE;
              default -> throw new AssertionError(as);
            });
  }

  private static Optional<Reading> throughCsv(Reading reading) {
    ReadingCsv columns = ReadingCsv.of(2, 1);
    Problems problems = new Problems();
    Optional<Reading> back =
        new ReadingCsvReader("drawn.csv", columns, problems)
            .read(2, new ReadingCsvWriter(columns).line(reading));
    assertThat(problems.toString()).isEmpty();
    return back;
  }
}
