package org.cellherd.board;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.Responder;
import org.cellherd.protocol.modbus.ModbusFrames;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.toml.Problems;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Drawn boards that are busy now and then, say no, or must be left alone after a question that they
 * missed. The wire judges: it alone knows when it was asked.
 */
class BoardPatienceTest {
  private static final long SECOND = 1_000_000_000L;
  private static final Reading TRUTH = Reading.at(0).cells(CellVoltages.ofMv(3301, 3302)).build();

  private final SimulatedTime time = new SimulatedTime(0);
  private final HeardListener heard = new HeardListener();

  /** A way of framing, and how a board of it says no with a code. */
  private enum Kind {
    RTU("kind = \"modbus-rtu\"", "function = 3\nbase = 0\nregister = 0\ncount = 2"),
    ASCII("kind = \"modbus-ascii\"", "function = 4\nbase = 0\nregister = 0\ncount = 2"),
    PARTS(
        """
        layout = ["start", "address", "result", "data"]
        start = "A7"
        result_good = "00"
        result_busy = [5, 6]
        """,
        "request = \"01\"");

    private final String frame;
    private final String message;

    Kind(String frame, String message) {
      this.frame = frame;
      this.message = message;
    }

    Decoder decoder(String head) {
      String request =
          this == PARTS
              ? """
              [request_frame]
              layout = ["start", "address", "data"]
              start = "7A"
              """
              : "";
      String toml =
          head
              + "spec = 1\nid = \"drawn\"\ntitle = \"Drawn\"\n[frame]\n"
              + frame
              + "\n"
              + request
              + "[[message]]\nname = \"cells\"\n"
              + message
              + "\nfield = [{ as = \"cell\", type = \"u16\", repeat = 2, unit = \"mV\" }]\n";
      Problems problems = new Problems();
      return Specs.read("drawn.toml", toml, problems)
          .orElseThrow(() -> new AssertionError(problems + toml));
    }

    byte[] no(int code) {
      return switch (this) {
        case RTU -> ModbusFrames.rtu(true).buildException(1, 3, code);
        case ASCII -> ModbusFrames.ascii(true).buildException(1, 4, code);
        case PARTS -> new byte[] {(byte) 0xA7, 1, (byte) code, 0, 0, 0, 0};
      };
    }
  }

  /** Every fifth poll or so it is busy for a drawn time. */
  private final class BusyWire implements FarSide {
    private final Kind kind;
    private final Responder board;
    private final Random random;
    private final int code;
    private long busyUntil;
    private long freeAgain;
    private final List<Long> asked = new ArrayList<>();

    BusyWire(Kind kind, int code, Decoder decoder, Random random) {
      this.kind = kind;
      this.code = code;
      this.board = decoder.responder(1).orElseThrow();
      this.random = random;
    }

    @Override
    public byte[] exchange(byte[] sent) {
      long now = time.monotonicNanos();
      asked.add(now);
      if (now > freeAgain && random.nextInt(5) == 0) {
        busyUntil = now + random.nextInt(1_900) * 1_000_000L;
        freeAgain = now + 4 * SECOND;
      }
      return now < busyUntil ? kind.no(code) : board.feed(sent, () -> TRUTH);
    }

    @Override
    public long delayNanos() {
      return 10_000_000L;
    }
  }

  private void run(Decoder decoder, FarSide wire, long seconds) throws InterruptedException {
    LinePoller poller =
        Loopback.poller(
            wire,
            time,
            new BoardOnLine("house", decoder.dialogue(1), decoder.line(), Duration.ofSeconds(5)),
            heard);
    while (time.monotonicNanos() < seconds * SECOND) {
      poller.step();
    }
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12})
  void aBusyBoardIsAskedAgainWithoutHasteUntilItAnswers(long seed) throws InterruptedException {
    Random random = new Random(seed * 0x9E3779B97F4A7C15L);
    Kind kind = Kind.values()[random.nextInt(3)];
    Decoder decoder = kind.decoder("");
    BusyWire wire = new BusyWire(kind, 5 + random.nextInt(2), decoder, random);

    run(decoder, wire, 1000);

    String which = "seed " + seed + ", " + kind;
    assertThat(heard.readings()).as(which).hasSizeBetween(200, 201);
    assertThat(heard.gaps()).as(which).isEmpty();
    int again = wire.asked.size() - heard.readings().size();
    assertThat(again).as(which).isBetween(20, 240);
    for (int i = 1; i < wire.asked.size(); i++) {
      assertThat(wire.asked.get(i) - wire.asked.get(i - 1)).as(which).isGreaterThan(SECOND / 11);
    }
  }

  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 4, 7, 8, 10, 11})
  void anyOtherNoIsTakenForThePoll(int code) throws InterruptedException {
    Kind kind = Kind.values()[code % 3];
    Decoder decoder = kind.decoder("");
    BusyWire wire = new BusyWire(kind, code, decoder, new Random(code));

    run(decoder, wire, 1000);

    assertThat(wire.asked).hasSizeBetween(200, 201);
    assertThat(heard.readings()).hasSizeBetween(100, 190);
  }

  /** A no is an answer: nothing is under way that would have to be waited for. */
  @ParameterizedTest
  @ValueSource(ints = {1, 2, 3, 11})
  void afterANoTheNextPollIsNotLate(int code) throws InterruptedException {
    Kind kind = Kind.values()[code % 3];
    Decoder decoder = kind.decoder("answer_within_ms = 20000\n");
    List<Long> asked = new ArrayList<>();

    run(
        decoder,
        sent -> {
          asked.add(time.monotonicNanos());
          return kind.no(code);
        },
        40);

    assertThat(asked).hasSizeBetween(7, 9);
  }

  /** Misses or garbles a question now and then; one that comes too soon after that it misses. */
  private final class TouchyWire implements FarSide {
    private final Responder board;
    private final Random random;
    private final long quietNanos;
    private long deafUntil;
    private int tooSoon;

    TouchyWire(Decoder decoder, Random random, long quietNanos) {
      this.board = decoder.responder(1).orElseThrow();
      this.random = random;
      this.quietNanos = quietNanos;
    }

    @Override
    public byte[] exchange(byte[] sent) {
      long now = time.monotonicNanos();
      byte[] answer = board.feed(sent, () -> TRUTH);
      if (now < deafUntil) {
        tooSoon++;
        deafUntil = now + quietNanos;
        return new byte[0];
      }
      if (random.nextInt(6) == 0) {
        boolean isSilent = random.nextBoolean();
        deafUntil = now + quietNanos;
        answer[answer.length - 1] ^= 1;
        return isSilent ? new byte[0] : answer;
      }
      return answer;
    }
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12})
  void aBoardIsLeftAloneAfterAMissAsLongAsItNeeds(long seed) throws InterruptedException {
    Random random = new Random(seed * 0x9E3779B97F4A7C15L);
    Kind kind = Kind.values()[random.nextInt(2)];
    int quietMs = 500 + random.nextInt(6_000);
    String head = "answer_within_ms = 200\nquiet_after_miss_ms = " + quietMs + "\n";
    Decoder decoder = kind.decoder(head);
    TouchyWire wire = new TouchyWire(decoder, random, quietMs * 1_000_000L);

    run(decoder, wire, 1000);

    String which = "seed " + seed + ", " + kind + ", " + quietMs + " ms";
    assertThat(wire.tooSoon).as(which).isZero();
    assertThat(heard.readings()).as(which).hasSizeGreaterThan(110);
  }
}
