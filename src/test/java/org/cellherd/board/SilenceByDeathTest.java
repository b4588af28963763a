package org.cellherd.board;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.stream.LongStream;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent.Change;
import org.cellherd.alert.Priority;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.Responder;
import org.cellherd.protocol.TwinBlocks;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Drawn boards at any pace, with a stated patience or none: whatever way the line dies near the top
 * of a charge, it is told after three times the board's own pace, or its stated patience where that
 * is longer; and not for an answer that is lost or late. The far side judges: it alone knows when
 * the board was last to be had.
 */
class SilenceByDeathTest {
  private static final long MS = 1_000_000L;
  private static final long START_MS = 1_767_225_600_000L;

  /** What a gap needs to be told again, and a look at the line, ms. */
  private static final long SLACK_MS = 850;

  private static final String ONE =
      """
      spec = 1
      id = "drawn"
      title = "An invented board of one block of registers"
      [frame]
      kind = "modbus-rtu"
      [[message]]
      name = "low"
      function = 3
      base = 0
      register = 0
      count = 4
      field = [{ as = "cell", type = "u16", repeat = 4, unit = "mV" }]
      """;

  private static final String TWINS = TwinBlocks.of(2);

  /** What the answers tell of their question. */
  private enum Make {
    /** There is but one. */
    ONE_QUESTION(ONE),
    /** By their length. */
    LENGTHS(
        TWINS.replace(
            "count = 2\nfield = [{ as = \"cell\", n", "count = 3\nfield = [{ as = \"cell\", n")),
    /** By their function. */
    CODES(
        TWINS.replace(
            "function = 3\nbase = 0\nregister = 2", "function = 4\nbase = 0\nregister = 2")),
    /** By the number of the transaction. */
    TRANSACTIONS(TWINS),
    /** Nothing. */
    NOTHING(TWINS);

    final String text;

    Make(String text) {
      this.text = text;
    }
  }

  /** How a line dies. */
  private enum Death {
    NONE,
    MUTE,
    GARBAGE,
    /** Which only a serial line has. */
    BAD_CHECK,
    CHATTER,
    ECHO,
    BUSY,
    OTHER_ADDRESS,
    PORT_GONE,
    LATE,
    HALF_FRAMES,
    SECOND_MESSAGE_ONLY
  }

  static LongStream seeds() {
    long first = Long.getLong("cellherd.seed", 1L);
    return LongStream.range(first, first + Integer.getInteger("cellherd.runs", 48));
  }

  private static final class Board implements FarSide {
    final SimulatedTime time;
    final Random random;
    final Make make;
    long paceMs;
    final int patienceMs;
    final Decoder decoder;
    private final Responder responder;
    private final int usualMs;
    int highMv = 3440;
    double lost;
    double late;
    Death death = Death.NONE;

    Board(SimulatedTime time, long seed) {
      this.time = time;
      this.random = new Random(seed * 0x9E3779B97F4A7C15L);
      this.make = List.of(Make.values()).get((int) (seed % Make.values().length));
      // The faster the clock, the longer is a patience beside it.
      int most = random.nextBoolean() ? 6 : 120;
      this.paceMs = Math.round(500 * Math.pow(most, random.nextDouble()));
      this.patienceMs = random.nextInt(3) == 0 ? 300 + random.nextInt(6_000) : 0;
      this.usualMs = 5 + random.nextInt(60);
      String head = patienceMs == 0 ? "" : "answer_within_ms = " + patienceMs + "\n";
      this.decoder = Specs.read("drawn.toml", head + make.text, new Problems()).orElseThrow();
      this.responder = decoder.responder(1).orElseThrow();
    }

    @Override
    public byte[] exchange(byte[] message) {
      if (make != Make.TRANSACTIONS) {
        return answer(message);
      }
      byte[] answer = answer(MbapFrames.crcInPlaceOfHeader(message));
      boolean isFrame = answer.length > 4;
      return isFrame ? MbapFrames.headerInPlaceOfCrc(message, answer) : answer;
    }

    private byte[] answer(byte[] sent) {
      // Cells tell when they were asked for: by the second, the upper two 4 mV higher.
      int second = (int) (time.monotonicNanos() / (1000 * MS) % 2);
      CellVoltages cells =
          CellVoltages.ofMv(
              highMv + second, highMv + second, highMv + 4 + second, highMv + 4 + second);
      byte[] answer = responder.feed(sent, () -> Reading.at(0).cells(cells).build());
      if (random.nextDouble() < lost) {
        return new byte[0];
      }
      return switch (death) {
        case MUTE, CHATTER -> new byte[0];
        case GARBAGE -> garbage(1 + random.nextInt(40));
        case BAD_CHECK -> flipped(answer);
        case ECHO -> sent;
        case BUSY -> MbapFrames.withCrc(new byte[] {sent[0], (byte) (sent[1] | 0x80), 6});
        case OTHER_ADDRESS -> MbapFrames.withCrc(elsewhere(answer));
        case HALF_FRAMES -> Arrays.copyOf(answer, 1 + random.nextInt(answer.length - 1));
        case SECOND_MESSAGE_ONLY -> sent[3] == 2 ? answer : new byte[0];
        case NONE, LATE, PORT_GONE -> answer;
      };
    }

    private static byte[] flipped(byte[] answer) {
      answer[answer.length - 3] ^= 1;
      return answer;
    }

    private static byte[] elsewhere(byte[] answer) {
      byte[] body = Arrays.copyOf(answer, answer.length - 2);
      body[0]++;
      return body;
    }

    private byte[] garbage(int length) {
      byte[] bytes = new byte[length];
      random.nextBytes(bytes);
      return bytes;
    }

    @Override
    public byte[] announced() {
      return death == Death.CHATTER ? garbage(1 + random.nextInt(20)) : new byte[0];
    }

    @Override
    public long delayNanos() {
      if (death == Death.LATE) {
        return (4_000 + random.nextInt(20_000)) * MS;
      }
      boolean isLate = random.nextDouble() < late;
      // Nearly two paces late: three are silence.
      int latestMs = (int) Math.min(2_400, paceMs * 9 / 5);
      return ((isLate ? 400 + random.nextInt(latestMs - 400) : usualMs) + random.nextInt(20)) * MS;
    }

    @Override
    public boolean isPlugged() {
      return death != Death.PORT_GONE;
    }

    void die() {
      do {
        death = List.of(Death.values()).get(1 + random.nextInt(Death.values().length - 1));
      } while ((death == Death.SECOND_MESSAGE_ONLY && make == Make.ONE_QUESTION)
          || (death == Death.BAD_CHECK && make == Make.TRANSACTIONS));
    }

    LineNight night() {
      LoopbackLink bytes = new LoopbackLink("loopback", this, time);
      Link link = make == Make.TRANSACTIONS ? new ModbusTcpLink(bytes, time) : bytes;
      return new LineNight(time, link, decoder.dialogue(1), decoder.line(), paceMs);
    }

    @Override
    public String toString() {
      return String.format(
          "%s told by %s at %.1f s, %s",
          death,
          make,
          paceMs / 1e3,
          patienceMs == 0 ? "no stated patience" : "patience " + patienceMs + " ms");
    }
  }

  @ParameterizedTest
  @MethodSource("seeds")
  void aLineThatDiesIsToldAfterThreePacesOrTheStatedPatience(long seed)
      throws InterruptedException {
    Board board = new Board(new SimulatedTime(START_MS), seed);
    LineNight night = board.night();
    night.runFor((100 + board.random.nextInt(400)) * board.paceMs * MS);
    assertThat(night.told).as("seed %d: %s", seed, board).isEmpty();
    // One lost answer is none: the next question is asked and has its time.
    long limitMs = Math.max(3 * night.paceMs(), board.patienceMs + 2 * night.paceMs());

    board.die();
    night.runFor(3 * limitMs * MS);

    int last = night.heardMs.size() - 1;
    long ageMs = board.time.wallMs() - night.heardMs.get(last);
    if (board.death == Death.LATE && ageMs < limitMs) {
      return; // What comes late is heard, after all.
    }
    assertThat(night.told(Change.RAISED)).as("seed %d: %s", seed, board).isNotEmpty();
    Alert raised = night.told(Change.RAISED).get(0).alert();
    assertThat(raised.priority()).isEqualTo(Priority.CRITICAL);
    long before =
        night.heardMs.stream().filter(t -> t <= raised.timeMs()).mapToLong(t -> t).max().orElse(0);
    assertThat(raised.timeMs() - before)
        .as("seed %d: %s", seed, board)
        .isBetween(3 * night.paceMs() * 99 / 100 - 100, limitMs + limitMs / 10 + SLACK_MS);
  }

  /** Polled slowly on the plateau and fast near the top, from once to four times. */
  private static LineNight swung(Board board, int mostOnPlateau) throws InterruptedException {
    board.paceMs = Math.round(2_000 * Math.pow(30, board.random.nextDouble()));
    LineNight night = board.night();
    night.isAskedAsNeeded = true;
    for (int swings = 1 + board.random.nextInt(4); swings > 0; swings--) {
      board.highMv = 3330;
      night.runFor((30 + board.random.nextInt(mostOnPlateau)) * board.paceMs * MS);
      board.highMv = 3440;
      int heard = night.heardMs.size();
      int wanted = 8 + board.random.nextInt(120);
      while (night.heardMs.size() < heard + wanted) {
        night.poller.step();
      }
    }
    return night;
  }

  /** However long it was polled slowly before: a few readings at the fast poll are enough. */
  @ParameterizedTest
  @MethodSource("seeds")
  void nearTheTopALineThatDiesIsToldByThePollThatIsAskedThere(long seed)
      throws InterruptedException {
    Board board = new Board(new SimulatedTime(START_MS), seed);
    LineNight night = swung(board, 1_400);
    assertThat(night.told).as("seed %d: %s", seed, board).isEmpty();
    int last = night.heardMs.size() - 1;
    long fastMs = night.heardMs.get(last) - night.heardMs.get(last - 1);
    assertThat(fastMs).as("seed %d: %s", seed, board).isLessThan(1_500);
    // Of all readings so far none was lost: one lost answer is thought of, as everywhere.
    long limitMs = Math.max(3 * fastMs, board.patienceMs + 2 * fastMs);

    board.death = board.random.nextBoolean() ? Death.MUTE : Death.PORT_GONE;
    night.runFor(60_000 * MS);

    assertThat(night.told(Change.RAISED)).as("seed %d: %s", seed, board).hasSize(1);
    Alert raised = night.told(Change.RAISED).get(0).alert();
    assertThat(raised.priority()).isEqualTo(Priority.CRITICAL);
    assertThat(raised.timeMs() - night.heardMs.get(last))
        .as("seed %d: %s", seed, board)
        .isBetween(3 * fastMs * 9 / 10, limitMs + limitMs / 10 + SLACK_MS);
  }

  /** On a line that loses a fifth, a pace that is learnt anew is wrong once in a hundred nights. */
  @Test
  void aBadLineIsSeldomCalledSilentWhereItsPollChanges() throws InterruptedException {
    int wrong = 0;
    for (long seed = 1; seed <= 300; seed++) {
      Board board = new Board(new SimulatedTime(START_MS), seed);
      boolean isOne = board.make == Make.ONE_QUESTION;
      board.lost = isOne ? 0.2 : 1 - Math.sqrt(0.8);
      wrong += swung(board, 400).told.isEmpty() ? 0 : 1;
    }
    assertThat(wrong).isLessThanOrEqualTo(3);
  }

  /** Lost answers of a good line wake nobody, nor do seldom late ones. */
  @ParameterizedTest
  @MethodSource("seeds")
  void anAnswerThatIsLostOrLateIsNoSilence(long seed) throws InterruptedException {
    Board board = new Board(new SimulatedTime(START_MS), seed);
    board.lost = Math.pow(10, -2 - 2 * board.random.nextDouble());
    board.late = board.random.nextBoolean() ? 0 : Math.pow(10, -2 - 2 * board.random.nextDouble());
    LineNight night = board.night();

    night.runFor(3_000 * board.paceMs * MS);

    assertThat(night.heardMs).hasSizeGreaterThan(2_400);
    assertThat(night.told).as("seed %d: %s", seed, board).isEmpty();
  }
}
