package org.cellherd.board;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayInputStream;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.pack.Temperatures;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.Responder;
import org.cellherd.protocol.bringup.HeardBytes;
import org.cellherd.protocol.bringup.Identification;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.toml.Problems;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** Half a minute with each shipped board: read live, replayed, and identified from its bytes. */
class ShippedCapturesTest {
  private static final Map<String, String> CHECKS =
      Map.of(
          "sorrel-16", "sum8-twos",
          "teasel-16", "crc-16/modbus",
          "bryony-8", "crc-16/ibm-sdlc",
          "linnet-4", "sum16",
          "madder-8", "sum16-twos",
          "yarrow-8", "sum8-twos",
          "sedge-6", "crc-8/maxim-dow",
          "tansy-4", "sum8",
          "borage-16", "xor8");

  private final SimulatedTime time = new SimulatedTime(1_767_225_600_000L);
  private final Random random = new Random(5);
  private final StringBuilder file = new StringBuilder();
  private final HeardListener live = new HeardListener();

  static List<String> shipped() {
    return Specs.shippedNames().stream().filter(n -> Specs.find(n).isPresent()).toList();
  }

  private Reading now(int cells) {
    int second = (int) (time.monotonicNanos() / 1_000_000_000L);
    int[] mv = new int[cells];
    int sum = 0;
    for (int i = 0; i < cells; i++) {
      mv[i] = 3300 + 2 * i + random.nextInt(9) + second;
      sum += mv[i];
    }
    return Reading.at(time.wallMs())
        .cells(CellVoltages.ofMv(mv))
        .packMv(sum)
        .currentMa(5000 + random.nextInt(500))
        .socTenthPct(500 + second)
        .temperatures(Temperatures.ofTenthC(200 + random.nextInt(9), 210, 220, 215))
        .bleedMask(random.nextInt(3))
        .chargeSwitch(true)
        .dischargeSwitch(true)
        .boardMah(40_000 + second)
        .boardAlarms(0)
        .build();
  }

  /** The board's side: answers when asked, or talks once a second. */
  private final class Board implements FarSide {
    private final Responder responder;
    private final boolean talks;
    private final int cells;
    private long nextNanos = 100_000_000L;

    Board(Decoder decoder) {
      responder = decoder.responder(1).orElseThrow();
      talks = decoder.dialogue(1).isListenOnly();
      String digits = decoder.id().replaceAll("[^0-9]", "");
      cells = digits.isEmpty() ? 16 : Integer.parseInt(digits);
    }

    @Override
    public byte[] exchange(byte[] sent) {
      return responder.feed(sent, () -> now(cells));
    }

    @Override
    public byte[] announced() {
      if (!talks || time.monotonicNanos() < nextNanos) {
        return new byte[0];
      }
      nextNanos += 1_000_000_000L;
      return responder.announce(now(cells));
    }
  }

  private static BoardOnLine onLine(Decoder decoder) {
    return new BoardOnLine("house", decoder.dialogue(1), decoder.line(), Duration.ofSeconds(1));
  }

  private LinePoller.Counts captured(Decoder decoder) throws InterruptedException {
    Link link =
        new CapturingLink(
            new LoopbackLink("loopback", new Board(decoder), time),
            new CaptureWriter(file, "", time::wallMs));
    LinePoller poller = new LinePoller(link, List.of(onLine(decoder)), LineClock.of(time), live);
    while (time.monotonicNanos() < 30_000_000_000L) {
      poller.step();
    }
    return poller.counts("house");
  }

  private List<CaptureChunk> chunks() throws Exception {
    List<CaptureChunk> chunks = new ArrayList<>();
    byte[] bytes = file.toString().getBytes(StandardCharsets.UTF_8);
    CaptureReader reader = new CaptureReader("c", new ByteArrayInputStream(bytes));
    for (Optional<CaptureChunk> c = reader.next(); c.isPresent(); c = reader.next()) {
      chunks.add(c.get());
    }
    return chunks;
  }

  @ParameterizedTest
  @MethodSource("shipped")
  void isReadWithoutRefusalAndReplayedAlike(String id) throws Exception {
    Decoder decoder = Specs.find(id).orElseThrow();
    if (decoder.responder(1).isEmpty()) {
      return;
    }
    LinePoller.Counts counts = captured(decoder);

    HeardListener replayed = new HeardListener();
    CaptureReplay replay = new CaptureReplay(List.of(onLine(decoder)), replayed);
    chunks().forEach(replay::take);
    replay.end();

    assertThat(live.readings()).hasSizeBetween(29, 31);
    assertThat(live.gaps()).isEmpty();
    assertThat(counts.refusals()).isEmpty();
    assertThat(counts.polls()).isGreaterThanOrEqualTo(counts.answered());
    assertThat(replayed.entries()).isEqualTo(live.entries());
  }

  @ParameterizedTest
  @MethodSource("shipped")
  void isIdentifiedFromItsBytesAlone(String id) throws Exception {
    String check = CHECKS.get(id);
    if (check == null) {
      return;
    }
    captured(Specs.find(id).orElseThrow());

    Identification found =
        HeardBytes.identify(
            chunks().stream().map(c -> new HeardBytes(c.atMs(), c.isSent(), c.bytes())).toList());

    assertThat(found.checksum()).as(id).contains(check);
    assertThat(found.isSure()).as(id).isTrue();
    Problems problems = new Problems();
    assertThat(Specs.read("draft.toml", found.draft("draft").orElseThrow(), problems))
        .as("%s: %s", id, problems)
        .isPresent();
  }
}
