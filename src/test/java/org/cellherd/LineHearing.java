package org.cellherd;

import java.time.Duration;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.List;
import org.cellherd.app.daemon.SessionClock;
import org.cellherd.board.BoardListener;
import org.cellherd.board.BoardOnLine;
import org.cellherd.board.LineClock;
import org.cellherd.board.LinePoller;
import org.cellherd.board.LoopbackLink;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.SessionStart;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.sim.MonitorEvent;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.SimulatedBoard;
import org.cellherd.sim.SimulatedRig;

/**
 * Polls the boards over a line of bytes as the program does, faults of the cable and brown-outs of
 * the listening computer included. The boards live by the true time, the listener by the clock that
 * it has.
 */
final class LineHearing implements Hearing {
  private static final long NANOS_PER_MS = 1_000_000;
  private static final long TICK_MS = 1_000;

  private final Scenario scenario;
  private final SimulatedRig rig;
  private final Ear ear;
  private final SimulatedTime time;
  private final SimulatedBoard boards;
  private final Deque<MonitorEvent> brownOuts;
  private final Deque<MonitorEvent> wrongClocks = new ArrayDeque<>();
  private SessionClock clock;
  private LinePoller poller;
  private long session = 1;
  private long newestMs = Long.MIN_VALUE;
  private long nextTickMs;

  LineHearing(Scenario scenario, SimulatedRig rig, Ear ear) {
    this.scenario = scenario;
    this.rig = rig;
    this.ear = ear;
    time = new SimulatedTime(scenario.startMs());
    boards = new SimulatedBoard(scenario, rig, Specs::find, this::trueMs);
    brownOuts = new ArrayDeque<>(MonitorEvent.of(scenario));
    clock = new SessionClock(time, new SessionClock.Known(newestMs, Long.MAX_VALUE));
    poller = poller();
    all(new SessionStart(clock.nowMs(), session, true, true));
  }

  private long trueMs() {
    return scenario.startMs() + time.monotonicNanos() / NANOS_PER_MS;
  }

  private LinePoller poller() {
    List<BoardOnLine> onLine = new ArrayList<>();
    List<PackPlan> plans = scenario.plans();
    for (int i = 0; i < plans.size(); i++) {
      Decoder decoder = Specs.find(rig.packs().get(i).decoder()).orElseThrow();
      onLine.add(
          new BoardOnLine(
              plans.get(i).id(),
              decoder.dialogue(rig.packs().get(i).address()),
              decoder.line(),
              Duration.ofMillis(scenario.pollMs())));
    }
    LoopbackLink link = new LoopbackLink("loopback", boards, time);
    return new LinePoller(link, onLine, new LineClock(time, clock::lineMs), listener());
  }

  private BoardListener listener() {
    List<String> ids = scenario.plans().stream().map(PackPlan::id).toList();
    return new BoardListener() {
      @Override
      public void heard(String pack, LogEntry entry) {
        tell(ids.indexOf(pack), clock.wall(entry));
      }

      @Override
      public void note(String pack, String text) {}

      @Override
      public void otherBoard(String pack, String before, String now) {}
    };
  }

  private void tell(int pack, LogEntry entry) {
    newestMs = Math.max(newestMs, entry.timeMs());
    ear.heard(pack, entry);
  }

  private void all(LogEntry entry) {
    for (int i = 0; i < rig.packs().size(); i++) {
      tell(i, entry);
    }
  }

  @Override
  public void goOn(long timeMs) {
    try {
      while (trueMs() < timeMs) {
        if (!brownOuts.isEmpty() && trueMs() >= brownOuts.getFirst().atMs()) {
          restart(brownOuts.removeFirst());
        }
        poller.step();
        tick();
      }
    } catch (InterruptedException e) {
      throw new IllegalStateException("nobody interrupts a simulated run", e);
    }
  }

  private void tick() {
    if (trueMs() < nextTickMs) {
      return;
    }
    nextTickMs = trueMs() + TICK_MS;
    if (!wrongClocks.isEmpty() && trueMs() >= wrongClocks.getFirst().rightMs()) {
      time.stepWallMs(-wrongClocks.removeFirst().clockOffMs());
      time.setWallSure(true);
    }
    clock.check().ifPresent(this::all);
  }

  /** Without power nobody listens; afterwards the program begins with the clock that it finds. */
  private void restart(MonitorEvent event) {
    time.advanceMs(event.backMs() - trueMs());
    time.stepWallMs(event.clockOffMs());
    time.setWallSure(false);
    wrongClocks.add(event);
    clock = new SessionClock(time, new SessionClock.Known(newestMs, Long.MAX_VALUE));
    poller = poller();
    session++;
    all(new SessionStart(clock.nowMs(), session, clock.isSure(), false));
  }
}
