package org.cellherd.protocol.spec;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.math.BigInteger;
import java.math.RoundingMode;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Reading;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.Test;

/** As {@link FullRangeTest}, for lines of text: drawn numbers of any size, and drawn nonsense. */
class TextRangeTest {

  private static final String HEAD =
      "spec = 1\nid = \"drawn\"\ntitle = \"Drawn\"\ntalk = \"listen\"\n[frame]\nkind = \"line\"\n";

  private static final List<String> STYLES = List.of("csv", "key_value", "xdr");

  private static String text(Random random) {
    BigInteger number = new BigInteger(1 + random.nextInt(66), random);
    return switch (random.nextInt(6)) {
      case 0 -> "0x" + number.mod(BigInteger.ONE.shiftLeft(64)).toString(16);
      case 1 -> number.negate().toString();
      case 2 -> new BigDecimal(number, random.nextInt(6)).toPlainString();
      case 3 -> List.of("err", "nan", "-", "1e9", "9".repeat(40)).get(random.nextInt(5));
      default -> number.toString();
    };
  }

  private static Optional<BigDecimal> number(String text) {
    if (text.startsWith("0x")) {
      return Optional.of(new BigDecimal(new BigInteger(text.substring(2), 16)));
    }
    return text.length() <= 24 && text.matches("-?[0-9]+(\\.[0-9]+)?")
        ? Optional.of(new BigDecimal(text))
        : Optional.empty();
  }

  private static String field(String style, String as, String unit, int column) {
    String place =
        switch (style) {
          case "csv" -> "column = " + column;
          case "key_value" -> "key = \"k" + column + "\"";
          default -> "transducer = \"G\", key = \"K" + column + "\"";
        };
    return "{ name = \"field " + column + "\", as = \"" + as + "\", " + place + unit + " },\n";
  }

  private static SpecDialogue heard(String style, List<String> values) {
    String toml =
        HEAD
            + "style = \""
            + style
            + "\"\n[[message]]\nname = \"all\"\nfield = [\n"
            + field(style, "cell", ", unit = \"mV\"", 1)
            + field(style, "alarms", "", 2)
            + field(style, "board_charge", ", unit = \"mAh\"", 3)
            + field(style, "charge_switch", "", 4)
            + "]\n";
    StringBuilder line = new StringBuilder();
    for (int i = 0; i < values.size(); i++) {
      String value = values.get(i);
      line.append(line.isEmpty() ? "" : ",")
          .append(
              switch (style) {
                case "csv" -> value;
                case "key_value" -> "k" + (i + 1) + "=" + value;
                default -> "G," + value + ",,K" + (i + 1);
              });
    }
    Problems problems = new Problems();
    SpecDialogue talk =
        ((SpecDecoder)
                Specs.read("drawn.toml", toml, problems)
                    .orElseThrow(() -> new AssertionError(problems + toml)))
            .talk(0);
    byte[] bytes = (line + "\r\n").getBytes(StandardCharsets.ISO_8859_1);
    talk.feed(bytes, 0, bytes.length);
    return talk;
  }

  @Test
  void whatIsNotMeasuredNeverCostsTheLine() {
    for (int seed = 0; seed < 3000; seed++) {
      Random random = new Random(seed);
      String style = STYLES.get(seed % 3);
      String alarms = text(random);
      String charge = text(random);
      String toggle = text(random);

      SpecDialogue talk = heard(style, List.of("3331", alarms, charge, toggle));

      Optional<Reading> reading = talk.reading(5);
      String which = "seed " + seed + ": " + style + " " + alarms + " " + charge + " " + toggle;
      assertThat(reading).as(which + talk.lastRefusal()).isPresent();
      Reading r = reading.orElseThrow();
      assertThat(r.cells()).as(which).isEqualTo(CellVoltages.ofMv(3331));
      Optional<BigInteger> bits = whole(alarms, 64);
      assertThat(r.boardAlarms().isPresent()).as(which).isEqualTo(bits.isPresent());
      bits.ifPresent(
          b -> assertThat(r.boardAlarms().getAsLong()).as(which).isEqualTo(b.longValue()));
      Optional<Long> mah = stored(charge);
      assertThat(r.value(Channel.of(Channel.Kind.BOARD_CHARGE)).isPresent())
          .as(which)
          .isEqualTo(mah.isPresent());
      mah.ifPresent(m -> assertThat((long) r.boardMah().getAsInt()).as(which).isEqualTo(m));
      assertThat(r.chargeSwitch().isPresent()).as(which).isEqualTo(whole(toggle, 64).isPresent());
      long lost =
          List.of(bits.isPresent(), mah.isPresent(), r.chargeSwitch().isPresent()).stream()
              .filter(there -> !there)
              .count();
      assertThat(talk.doubts()).as(which).hasSize((int) lost);
    }
  }

  @Test
  void aCellIsExactOrTheLineIsRefused() {
    for (int seed = 0; seed < 3000; seed++) {
      String style = STYLES.get(seed % 3);
      String cell = text(new Random(seed));

      Optional<Reading> reading = heard(style, List.of(cell, "1", "2", "1")).reading(5);

      String which = "seed " + seed + ": " + style + " " + cell;
      Optional<BigDecimal> tenthMv = number(cell).map(n -> n.movePointRight(1));
      Optional<Long> right = tenthMv.flatMap(TextRangeTest::rounded);
      assertThat(reading.map(r -> (long) r.cells().tenthMv(1))).as(which).isEqualTo(right);
    }
  }

  /** Minus numbers are the bits of their two's complement, as boards print signed words. */
  private static Optional<BigInteger> whole(String text, int bits) {
    return number(text)
        .filter(n -> n.stripTrailingZeros().scale() <= 0)
        .map(BigDecimal::toBigIntegerExact)
        .filter(n -> n.bitLength() <= (n.signum() < 0 ? bits - 1 : bits));
  }

  private static Optional<Long> stored(String text) {
    return number(text).flatMap(TextRangeTest::rounded);
  }

  private static Optional<Long> rounded(BigDecimal value) {
    BigInteger n = value.add(new BigDecimal("0.5")).setScale(0, RoundingMode.FLOOR).toBigInteger();
    return n.abs().compareTo(BigInteger.valueOf(Integer.MAX_VALUE)) <= 0
        ? Optional.of(n.longValueExact())
        : Optional.empty();
  }
}
