package org.cellherd.protocol.spec;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.List;
import java.util.Locale;
import java.util.OptionalLong;
import java.util.Random;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Reading;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.Test;

/**
 * Drawn descriptions with none, one or both bounds stated, and drawn values: what no cell, sensor
 * or share of a charge reaches is doubted where nothing is stated, and kept in the reading.
 */
class UsualRangeTest {
  private static final int BOARDS = 3000;

  private record Quantity(String as, String unit, Channel channel, int low, int high) {
    /** In thousandths of the unit. */
    boolean isBeyond(BigDecimal value, boolean isLeastStated, boolean isMostStated) {
      return (!isLeastStated && value.compareTo(BigDecimal.valueOf(low)) < 0)
          || (!isMostStated && value.compareTo(BigDecimal.valueOf(high)) > 0);
    }
  }

  private static final List<Quantity> QUANTITIES =
      List.of(
          new Quantity("cell", "V", Channel.cell(1), 0, 6),
          new Quantity("temperature", "C", Channel.temperature(1), -60, 150),
          new Quantity("soc", "%", Channel.of(Channel.Kind.SOC), 0, 100));

  @Test
  void whatNothingReachesIsDoubtedAndKept() {
    int doubted = 0;
    for (int seed = 0; seed < BOARDS; seed++) {
      Random random = new Random(seed);
      Quantity quantity = QUANTITIES.get(random.nextInt(3));
      boolean hasLeast = random.nextInt(3) == 0;
      boolean hasMost = random.nextInt(3) == 0;
      int decimals = 1 + random.nextInt(3);
      int span = quantity.high - quantity.low;
      BigDecimal value =
          BigDecimal.valueOf(quantity.low - span + 3 * span * random.nextDouble())
              .setScale(decimals, RoundingMode.HALF_UP);
      String bounds = (hasLeast ? ", min = -1000" : "") + (hasMost ? ", max = 1000" : "");
      boolean isText = random.nextBoolean();
      String which = "seed %d: %s %s%s".formatted(seed, quantity.as, value, bounds);

      SpecDialogue talk = isText ? line(quantity, value, bounds) : words(quantity, value, bounds);

      Reading reading = talk.reading(5).orElseThrow(() -> new AssertionError(which));
      BigDecimal stored =
          value
              .movePointRight(quantity.channel.kind().decimals())
              .add(new BigDecimal("0.5"))
              .setScale(0, RoundingMode.FLOOR);
      assertThat(reading.value(quantity.channel))
          .as(which)
          .isEqualTo(OptionalLong.of(stored.longValueExact()));
      boolean isDoubted = talk.doubts().stream().anyMatch(d -> d.isKept() && d.name().equals("x"));
      BigDecimal read = stored.movePointLeft(quantity.channel.kind().decimals());
      assertThat(isDoubted).as(which).isEqualTo(quantity.isBeyond(read, hasLeast, hasMost));
      doubted += isDoubted ? 1 : 0;
    }
    assertThat(doubted).isBetween(BOARDS / 5, BOARDS * 4 / 5);
  }

  private static SpecDialogue words(Quantity quantity, BigDecimal value, String bounds) {
    byte[] raw = ByteBuffer.allocate(4).putInt(value.unscaledValue().intValueExact()).array();
    String field =
        "{ name = \"x\", as = \"%s\", type = \"s32\", scale = %s, unit = \"%s\"%s }"
            .formatted(
                quantity.as,
                BigDecimal.ONE.movePointLeft(value.scale()).toPlainString(),
                quantity.unit,
                bounds);
    String frame = "layout = [\"start\", \"data\"]\nstart = \"A7\"\n";
    byte[] bytes = ByteBuffer.allocate(5).put((byte) 0xA7).put(raw).array();
    return heard(frame, field, bytes);
  }

  private static SpecDialogue line(Quantity quantity, BigDecimal value, String bounds) {
    String field =
        "{ name = \"x\", as = \"%s\", column = 1, unit = \"%s\"%s }"
            .formatted(quantity.as, quantity.unit, bounds);
    String text = String.format(Locale.ROOT, "%s\r\n", value.toPlainString());
    return heard(
        "kind = \"line\"\nstyle = \"csv\"\n", field, text.getBytes(StandardCharsets.US_ASCII));
  }

  private static SpecDialogue heard(String frame, String field, byte[] bytes) {
    String toml =
        """
        spec = 1
        id = "drawn"
        title = "Drawn"
        talk = "listen"
        [frame]
        %s
        [[message]]
        name = "all"
        field = [%s]
        """
            .formatted(frame, field);
    Problems problems = new Problems();
    SpecDialogue talk =
        ((SpecDecoder)
                Specs.read("drawn.toml", toml, problems)
                    .orElseThrow(() -> new AssertionError(problems + toml)))
            .talk(0);
    talk.feed(bytes, 0, bytes.length);
    return talk;
  }
}
