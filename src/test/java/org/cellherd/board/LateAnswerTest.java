package org.cellherd.board;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.List;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.Responder;
import org.cellherd.protocol.Specs;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.Test;

/** Two blocks of registers of equal length: on the wire their answers look alike. */
class LateAnswerTest {
  private static final String TWINS =
      """
      spec = 1
      id = "twins"
      title = "An invented board whose two blocks of registers are of one length"
      [frame]
      kind = "modbus-rtu"
      [[message]]
      name = "low"
      function = 3
      base = 0
      register = 0
      count = 2
      field = [{ as = "cell", type = "u16", repeat = 2, unit = "mV" }]
      [[message]]
      name = "high"
      function = 3
      base = 0
      register = 2
      count = 2
      field = [{ as = "cell", number = 3, type = "u16", repeat = 2, unit = "mV" }]
      """;

  private final SimulatedTime time = new SimulatedTime(0);
  private final Heard heard = new Heard();
  private final Decoder twins = Specs.read("twins.toml", TWINS, new Problems()).orElseThrow();
  private final Reading truth =
      Reading.at(0).cells(CellVoltages.ofMv(3301, 3302, 3303, 3304)).build();

  /** Answers each question, but some so late that it is asked again before. */
  private final class SlowWire implements Wire {
    private final Responder board = twins.responder(1).orElseThrow();
    private int asked;

    @Override
    public byte[] exchange(byte[] sent) {
      asked++;
      return board.feed(sent, () -> truth);
    }

    @Override
    public long delayNanos() {
      return asked % 3 == 0 ? 20_000_000L : 650_000_000L;
    }
  }

  @Test
  void aLateAnswerIsNeverTakenForThatToTheNextQuestion() throws InterruptedException {
    LinePoller poller =
        new LinePoller(
            new LoopbackLink("loopback", new SlowWire(), time),
            List.of(
                new BoardOnLine("house", twins.dialogue(1), twins.line(), Duration.ofSeconds(1))),
            LineClock.of(time),
            heard);
    while (time.monotonicNanos() < 60_000_000_000L) {
      poller.step();
    }

    assertThat(poller.counts("house").retries()).isPositive();
    assertThat(heard.readings()).isNotEmpty();
    assertThat(heard.readings()).allMatch(r -> r.cells().equals(truth.cells()));
  }
}
