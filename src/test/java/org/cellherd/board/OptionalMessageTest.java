package org.cellherd.board;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.pack.Temperatures;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.Responder;
import org.cellherd.protocol.modbus.ModbusFrames;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.toml.Problems;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Drawn boards that are asked for several messages, one of which they need not have. The wire
 * judges: it alone knows what it was asked, when, and what it answered.
 */
class OptionalMessageTest {
  private static final long SECOND = 1_000_000_000L;
  private static final int TEMPERATURES = 200;
  private static final Reading TRUTH =
      Reading.at(0)
          .cells(CellVoltages.ofMv(3301, 3302))
          .temperatures(Temperatures.ofTenthC(215, 220))
          .currentMa(-4200)
          .build();

  private final SimulatedTime time = new SimulatedTime(0);
  private final HeardListener heard = new HeardListener();

  /** What becomes of the question that need not be answered. */
  private enum Fate {
    DECLINED,
    UNANSWERED,
    GARBLED,
    BUSY,
    NOW_AND_THEN;

    boolean isAnswered(Random random) {
      return this == NOW_AND_THEN && random.nextBoolean();
    }
  }

  private static Decoder decoder(int place, boolean isPatienceStated) {
    List<String> messages = new ArrayList<>();
    messages.add(
        message("cells", 100, 2, "as = \"cell\", type = \"u16\", repeat = 2, unit = \"mV\""));
    messages.add(
        message(
            "current",
            300,
            1,
            "as = \"current\", type = \"s16\", scale = 0.1, unit = \"A\", positive ="
                + " \"charging\""));
    messages.add(
        place,
        message(
                "sensors",
                TEMPERATURES,
                2,
                "as = \"temperature\", type = \"s16\", repeat = 2, scale = 0.1, unit = \"C\"")
            .replace("[[message]]", "[[message]]\noptional = true"));
    String toml =
        "spec = 1\nid = \"drawn\"\ntitle = \"Drawn\"\n"
            + (isPatienceStated ? "answer_within_ms = 700\n" : "")
            + "[frame]\nkind = \"modbus-rtu\"\n"
            + String.join("", messages);
    Problems problems = new Problems();
    return Specs.read("drawn.toml", toml, problems)
        .orElseThrow(() -> new AssertionError(problems + toml));
  }

  private static String message(String name, int register, int count, String field) {
    return """
    [[message]]
    name = "%s"
    function = 3
    base = 0
    register = %d
    count = %d
    field = [{ %s }]
    """
        .formatted(name, register, count, field);
  }

  private final class Wire implements FarSide {
    private final Responder board;
    private final Fate fate;
    private final Random random;
    private int asked;
    private int answered;
    private long freeAt;
    private int tooSoon;
    private final List<CaptureChunk> capture = new ArrayList<>();

    Wire(Decoder decoder, Fate fate, Random random) {
      this.board = decoder.responder(1).orElseThrow();
      this.fate = fate;
      this.random = random;
    }

    @Override
    public byte[] exchange(byte[] sent) {
      capture.add(new CaptureChunk("loopback", time.wallMs(), CaptureChunk.Direction.TX, sent));
      byte[] answer = answer(sent);
      if (answer.length > 0) {
        capture.add(
            new CaptureChunk("loopback", time.wallMs() + 10, CaptureChunk.Direction.RX, answer));
      }
      return answer;
    }

    private byte[] answer(byte[] sent) {
      long now = time.monotonicNanos();
      byte[] answer = board.feed(sent, () -> TRUTH);
      if (((sent[2] & 0xFF) << 8 | (sent[3] & 0xFF)) != TEMPERATURES) {
        tooSoon += now < freeAt ? 1 : 0;
        return answer;
      }
      asked++;
      if (fate.isAnswered(random)) {
        answered++;
        return answer;
      }
      return switch (fate) {
        case DECLINED -> ModbusFrames.rtu(true).buildException(1, 3, 2);
        case BUSY -> ModbusFrames.rtu(true).buildException(1, 3, 6);
        case GARBLED -> {
          answer[answer.length - 1] ^= 1;
          yield answer;
        }
        default -> {
          // What comes so late would pass for the answer to the next question.
          freeAt = now + 700_000_000L;
          yield new byte[0];
        }
      };
    }

    @Override
    public long delayNanos() {
      return 10_000_000L;
    }
  }

  private static int replayed(Decoder decoder, Wire wire) {
    HeardListener again = new HeardListener();
    CaptureReplay replay =
        new CaptureReplay(
            List.of(
                new BoardOnLine(
                    "house", decoder.dialogue(1), decoder.line(), Duration.ofSeconds(5))),
            again);
    wire.capture.forEach(replay::take);
    replay.end();
    return again.readings().size();
  }

  @ParameterizedTest
  @ValueSource(ints = {0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14})
  void whatABoardNeedNotTellCostsNoReading(int draw) throws InterruptedException {
    costsNoReading(draw, decoder(draw / 5, true));
  }

  /** Of such a board other messages are asked for again soon; what is asked twice is no reading. */
  @ParameterizedTest
  @ValueSource(ints = {0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14})
  void norWhereNoPatienceIsStated(int draw) throws InterruptedException {
    costsNoReading(draw, decoder(draw / 5, false));
  }

  private void costsNoReading(int draw, Decoder decoder) throws InterruptedException {
    Random random = new Random(draw);
    Fate fate = Fate.values()[draw % 5];
    Wire wire = new Wire(decoder, fate, random);

    LinePoller poller =
        Loopback.poller(
            wire,
            time,
            new BoardOnLine("house", decoder.dialogue(1), decoder.line(), Duration.ofSeconds(5)),
            heard);
    while (time.monotonicNanos() < 1000 * SECOND) {
      poller.step();
    }

    String which = fate + ", message " + draw / 5;
    assertThat(heard.gaps()).as(which).isEmpty();
    assertThat(heard.readings()).as(which).hasSizeBetween(199, 201);
    assertThat(heard.readings()).as(which).allMatch(r -> r.cells().count() == 2, "cells");
    assertThat(heard.readings()).as(which).allMatch(r -> r.currentMa().isPresent(), "current");
    assertThat(heard.readings().stream().filter(r -> r.temperatures().count() > 0).count())
        .as(which)
        .isEqualTo(wire.answered);
    assertThat(wire.tooSoon).as(which).isZero();
    assertThat(replayed(decoder, wire)).as(which).isEqualTo(heard.readings().size());
    if (fate == Fate.NOW_AND_THEN) {
      assertThat(wire.answered).as(which).isGreaterThan(20);
    } else if (fate != Fate.BUSY) {
      assertThat(wire.asked).as(which).isBetween(5, 60);
    }
  }
}
