package org.cellherd.sim;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.cellherd.Tools;
import org.cellherd.board.LinkException;
import org.cellherd.board.LoopbackLink;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.protocol.CsvLines;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class RecordedBoardTest {

  private static final Decoder DECODER = Specs.find("sorrel-16").orElseThrow();
  private static final long START = 1_767_225_600_000L;

  private static Reading reading(long afterMs, int tenthMv, int milliamps) {
    return Reading.at(START + afterMs)
        .cells(CellVoltages.ofTenthMv(tenthMv, tenthMv, tenthMv, tenthMv))
        .packMv(4 * tenthMv / 10)
        .currentMa(milliamps)
        .build();
  }

  @Test
  void printsTheLatestReadingOfTheRecord() throws LinkException {
    SimulatedTime time = new SimulatedTime(START - 5000);
    RecordedBoard board =
        new RecordedBoard(
            List.of(reading(0, 33_000, 1000), reading(10_000, 33_100, 2000)).iterator(),
            DECODER.responder(1).orElseThrow(),
            time::wallMs);
    LoopbackLink link = new LoopbackLink("record", board, time);
    link.open(DECODER.line());
    Dialogue dialogue = DECODER.dialogue(1);

    Optional<Reading> before = Polls.poll(link, dialogue, 0);
    time.advanceMs(6000);
    Reading first = Polls.poll(link, dialogue, 0).orElseThrow();
    time.advanceMs(10_000);
    Reading second = Polls.poll(link, dialogue, 0).orElseThrow();

    assertThat(before).isEmpty();
    assertThat(first.currentMa()).hasValue(1000);
    assertThat(second.currentMa()).hasValue(2000);
    assertThat(second.cells().tenthMv(4)).isEqualTo(33_100);
    assertThat(board.isOver()).isTrue();
  }

  @Test
  void rowsOfACsvAreServedAndBadOnesToldWithTheirLine() throws Exception {
    String csv =
        """
        time,current_a,pack_v,cell_1_v,cell_2_v,colour
        2026-01-01T00:00:00Z,1.5,6.6,3.3,3.3,red
        2026-01-01T00:00:10Z,2.5,six,3.3,3.3,red
        2026-01-01T00:00:05Z,9.9,6.6,3.3,3.3,red
        2026-01-01T00:00:20Z,3.5,6.7,3.35,,red
        2026-01-01T00:00:15Z,9.9,6.6,3.3,3.3,red
        """;
    Problems problems = new Problems();

    RecordedReadings readings = RecordedReadings.of("x.csv", lines(csv), problems).orElseThrow();
    List<Reading> served = new ArrayList<>();
    readings.forEachRemaining(served::add);

    assertThat(served)
        .extracting(r -> r.currentMa().orElseThrow())
        .containsExactly(1500, 9900, 3500);
    assertThat(served.get(2).cells().has(2)).isFalse();
    assertThat(problems.toString()).contains("x.csv:3").contains("pack_v");
  }

  @Test
  void recordWithoutHeaderIsRefused() throws Exception {
    Problems problems = new Problems();

    assertThat(RecordedReadings.of("x.csv", lines(""), problems)).isEmpty();
    assertThat(problems.toString()).contains("x.csv");
  }

  /**
   * A real 2 Ah cell (About:Energy, CC BY-SA 4.0): 2.0745 Ah at C/20 and 1.9434 Ah at 1C by
   * counting the file itself. Here the same, counted from what comes over the line of a board.
   */
  @ParameterizedTest
  @CsvSource({"C/20, 2.0745, 20", "1C, 1.9434, 1"})
  void capacityOfARealCellSurvivesTheLine(String test, double ah, int scale) throws Exception {
    List<Reading> record = record(test, scale);
    SimulatedTime time = new SimulatedTime(START);
    RecordedBoard board =
        new RecordedBoard(record.iterator(), DECODER.responder(1).orElseThrow(), time::wallMs);
    LoopbackLink link = new LoopbackLink("record", board, time);
    link.open(DECODER.line());
    Dialogue dialogue = DECODER.dialogue(1);

    double counted = 0;
    long before = time.wallMs();
    while (!board.isOver()) {
      Reading heard = Polls.poll(link, dialogue, 0).orElseThrow();
      long now = time.wallMs();
      counted -= heard.currentMa().orElseThrow() / 1000.0 / scale * (now - before) / 3.6e6;
      before = now;
      time.advanceMs(scale == 1 ? 5000 : 30_000);
    }

    assertThat(counted).isCloseTo(ah, within(0.005 * ah));
  }

  /** The file's readings; small currents are scaled so that the board's 10 mA steps suffice. */
  private static List<Reading> record(String test, int scale) throws IOException {
    List<Reading> record = new ArrayList<>();
    long last = -1;
    for (String line :
        Files.readAllLines(Tools.openData().resolve("open/lfp_2ah_cc_discharge.csv"))) {
      String[] field = line.split(",");
      if (field[0].equals(test)) {
        long at = Math.round(Double.parseDouble(field[1]) * 1000);
        int ma = (int) Math.round(Double.parseDouble(field[2]) * 1000 * scale);
        if (at > last) {
          record.add(reading(at, (int) Math.round(Double.parseDouble(field[3]) * 10_000), ma));
          last = at;
        }
      }
    }
    return record;
  }

  private static CsvLines lines(String text) {
    return new CsvLines(new ByteArrayInputStream(text.getBytes(StandardCharsets.UTF_8)));
  }
}
