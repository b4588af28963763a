package org.cellherd.app.daemon;

import java.util.concurrent.atomic.AtomicLong;
import org.cellherd.board.FarSide;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;
import org.cellherd.pack.TimeSource;
import org.cellherd.protocol.Responder;
import org.cellherd.protocol.spec.Specs;

/**
 * A board without cells behind it, cheap enough to have 64 of: every number moves a little with
 * each reading, and where wanted one cell goes over its limit and back again and again.
 */
final class RestlessBoard implements FarSide {

  /** So long a cell is above its limit, and so long it is not. */
  static final long OVER_MS = 90_000;

  private final int cells;
  private final boolean isOver;
  private final long phaseMs;
  private final TimeSource time;
  private final Responder responder =
      Specs.find("sorrel-16").orElseThrow().responder(1).orElseThrow();
  private final AtomicLong answeredNanos = new AtomicLong();
  private int count;

  RestlessBoard(int cells, boolean isOver, long phaseMs, TimeSource time) {
    this.phaseMs = phaseMs;
    this.cells = cells;
    this.isOver = isOver;
    this.time = time;
  }

  /** Monotonic time of its latest answer. */
  long answeredNanos() {
    return answeredNanos.get();
  }

  @Override
  public byte[] exchange(byte[] sent) {
    byte[] answer = responder.feed(sent, this::reading);
    answeredNanos.set(time.monotonicNanos());
    return answer;
  }

  private Reading reading() {
    count++;
    int[] mv = new int[cells];
    int sum = 0;
    for (int i = 0; i < cells; i++) {
      mv[i] = 3_300 + Math.floorMod(count * 7 + i * 5, 11) / 4;
      sum += mv[i];
    }
    if (isOver && (time.monotonicNanos() / 1_000_000 + phaseMs) / OVER_MS % 2 == 0) {
      mv[0] = 3_900;
    }
    return Reading.at(0)
        .cells(CellVoltages.ofMv(mv))
        .packMv(sum)
        .currentMa(1_500 + Math.floorMod(count * 13, 40))
        .temperatures(Temperatures.ofTenthC(201, 203 + count % 2))
        .socTenthPct(500)
        .boardMah(13_500 + count / 4)
        .build();
  }
}
