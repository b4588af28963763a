package org.cellherd.protocol.spec;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayOutputStream;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Random;
import java.util.stream.LongStream;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Dialogue;
import org.cellherd.toml.Problems;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Drawn answers of one invented board whose counts, enumerations and flags say what its description
 * does not know. What is measured comes through, or nothing does where its place is not known; what
 * else fails is missing, and that is said.
 */
class UnmeasuredLayoutTest {
  private static final String HEAD =
      """
      spec = 1
      id = "drawn"
      title = "An invented board with a row of events"
      [frame]
      layout = ["start", "code", "length", "data", "checksum"]
      start = "7E"
      [frame.length]
      [frame.checksum]
      kind = "sum8"
      [[message]]
      name = "all"
      code = 2
      field = [
        { name = "events", type = "u8", max = 3, show = false },
        { name = "mode", type = "u8" },
        { name = "flags", type = "u8", max = 9 },
        { as = "cell", type = "u16", repeat = 4, unit = "mV", min = 500, max = 5000 },
        { as = "current", type = "u16", unit = "mA", direction = { field = "mode", charging = [1], discharging = [2] } },
      """;

  private static final String EVENTS =
      "{ name = \"event\", type = \"u8\", repeat = \"events\", most = 3 },\n";
  private static final String COUNTER =
      "{ name = \"counter\", type = \"u16\", when = { field = \"flags\", bit = 3 } },\n";
  private static final String BLEEDING =
      "{ as = \"bleeding\", type = \"u1\", repeat = 8, up_to = \"events\" },\n";
  private static final String SENSOR =
      "{ as = \"temperature\", type = \"u8\", offset = -40, unit = \"C\" },\n";

  private static final CellVoltages CELLS = CellVoltages.ofMv(3301, 3302, 3303, 3304);

  static LongStream seeds() {
    long first = Long.getLong("cellherd.seed", 1L);
    return LongStream.range(first, first + Integer.getInteger("cellherd.runs", 200));
  }

  /** One drawn answer. */
  private static final class Answer {
    final Random random;
    final int events;
    final int told;
    final int mode;
    final int flags;
    final int milliamps;

    Answer(long seed) {
      random = new Random(seed * 0x9E3779B97F4A7C15L);
      events = random.nextInt(12);
      // Most boards count what they send.
      told = random.nextInt(3) == 0 ? random.nextInt(256) : events;
      mode = random.nextInt(4);
      flags = random.nextInt(256);
      milliamps = random.nextInt(3) == 0 ? 0 : random.nextInt(65_536);
    }

    byte[] frame(boolean hasCounter, boolean hasBleeding, boolean hasSensor) {
      ByteArrayOutputStream data = new ByteArrayOutputStream();
      data.write(told);
      data.write(mode);
      data.write(flags);
      for (int cell = 1; cell <= 4; cell++) {
        word(data, (int) Math.round(CELLS.mv(cell)));
      }
      word(data, milliamps);
      if (hasBleeding) {
        data.write(random.nextInt(256));
      }
      if (hasCounter && (flags >> 3 & 1) == 1) {
        word(data, random.nextInt(65_536));
      }
      for (int i = 0; i < events; i++) {
        data.write(random.nextInt(256));
      }
      if (hasSensor) {
        data.write(25 + 40);
      }
      return framed(data.toByteArray());
    }

    private static void word(ByteArrayOutputStream to, int value) {
      to.write(value >> 8);
      to.write(value);
    }

    private static byte[] framed(byte[] data) {
      ByteArrayOutputStream frame = new ByteArrayOutputStream();
      frame.write(0x7E);
      frame.write(2);
      frame.write(data.length);
      frame.writeBytes(data);
      int sum = 2 + data.length;
      for (byte each : data) {
        sum += each;
      }
      frame.write(sum);
      return frame.toByteArray();
    }

    OptionalInt currentMa() {
      return milliamps == 0 || mode == 1
          ? OptionalInt.of(milliamps)
          : mode == 2 ? OptionalInt.of(-milliamps) : OptionalInt.empty();
    }
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void whatIsMeasuredNeverRestsOnWhatIsNot(long seed) {
    Answer answer = new Answer(seed);
    boolean hasCounter = answer.random.nextBoolean();
    boolean hasBleeding = answer.random.nextBoolean();
    boolean hasSensor = answer.random.nextBoolean();
    String text =
        HEAD
            + (hasBleeding ? BLEEDING : "")
            + (hasCounter ? COUNTER : "")
            + EVENTS
            + (hasSensor ? SENSOR : "")
            + "]\n";
    Dialogue talk = Specs.read("drawn.toml", text, new Problems()).orElseThrow().dialogue(1);
    talk.begin();
    talk.nextRequest();
    byte[] frame = answer.frame(hasCounter, hasBleeding, hasSensor);
    talk.feed(frame, 0, frame.length);
    Optional<Reading> reading = talk.reading(5);

    String which = "seed " + seed + ": " + answer.events + " events, told " + answer.told;
    boolean isPlaced = answer.told == answer.events;
    // More than there are, and nothing measured behind: a count that is nonsense.
    boolean isBeyond = answer.told > answer.events && !hasSensor;
    assertThat(reading.isPresent()).as(which).isEqualTo(isPlaced || isBeyond);
    if (reading.isEmpty()) {
      return;
    }
    assertThat(reading.get().cells()).as(which).isEqualTo(CELLS);
    assertThat(reading.get().currentMa()).as(which).isEqualTo(answer.currentMa());
    if (hasSensor) {
      assertThat(reading.get().temperatures().tenthC(1)).as(which).isEqualTo(250);
    }
    boolean isSaid =
        talk.doubts().stream().anyMatch(d -> d.name().startsWith("event") && !d.isKept());
    assertThat(isSaid).as(which + " " + talk.doubts()).isEqualTo(answer.told > 3 || isBeyond);
  }
}
