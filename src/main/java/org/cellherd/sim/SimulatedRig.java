package org.cellherd.sim;

import java.util.ArrayList;
import java.util.List;
import java.util.function.DoubleConsumer;
import org.cellherd.pack.Reading;

/**
 * One or more packs on a bus with charger, sun and loads, moved on in time by its user. The same
 * parts and steps give the same readings. Belongs to one thread.
 */
public final class SimulatedRig {

  private final RigParts parts;
  private final Bus bus;
  private final List<DoubleConsumer> watchers = new ArrayList<>();
  private final List<PackFault> waiting;
  private final List<PackFault> running = new ArrayList<>();
  private long nowMs;
  private double loadA;
  private double chargerA;

  public SimulatedRig(RigParts parts) {
    this.parts = parts;
    this.bus = new Bus(parts.packs().size());
    this.waiting = new ArrayList<>(parts.faults());
    this.nowMs = parts.startMs();
    for (PackModel model : parts.packs()) {
      double airC = parts.ambient().celsius(nowMs);
      model.board().step(model.pack(), airC, 0);
    }
    turnFaults();
  }

  /** Time of the rig, ms UTC. */
  public long nowMs() {
    return nowMs;
  }

  /** Calls a watcher after each step from now on, with the time that it took, s. */
  public void onStep(DoubleConsumer watcher) {
    watchers.add(watcher);
  }

  /** Moves on to a time, ms UTC; an earlier one changes nothing. */
  public void stepTo(long timeMs) {
    while (nowMs < timeMs) {
      long ms = Math.min(parts.stepMs(), timeMs - nowMs);
      nowMs += ms;
      turnFaults();
      step(ms / 1000.0);
    }
  }

  private void step(double seconds) {
    double airC = parts.ambient().celsius(nowMs);
    flow(seconds);
    for (int i = 0; i < parts.packs().size(); i++) {
      PackModel model = parts.packs().get(i);
      model.pack().step(bus.amperes(i), model.board().ownA(), seconds, airC);
      model.board().step(model.pack(), airC, seconds);
    }
    watchers.forEach(watcher -> watcher.accept(seconds));
  }

  private void flow(double seconds) {
    double nearV = bus.busV() > 1 ? bus.busV() : parts.packs().get(0).sourceV();
    loadA = 0;
    for (Load load : parts.loads()) {
      loadA += load.amperes(nowMs, nearV);
    }
    Charger charger = parts.charger();
    double limitV = charger == null ? 0 : charger.limitV();
    double giveA = limitV > 0 && charger != null ? charger.giveA(nowMs, nearV) : 0;
    bus.solve(parts.packs(), giveA, limitV, loadA);
    chargerA = giveA > 0 ? Math.max(0, bus.sumA() + loadA) : 0;
    if (charger != null) {
      charger.step(bus.busV(), chargerA, seconds, isHeard());
    }
  }

  private boolean isHeard() {
    for (PackModel model : parts.packs()) {
      if (model.mayCharge()) {
        return true;
      }
    }
    return false;
  }

  private void turnFaults() {
    waiting.removeIf(this::beganNow);
    running.removeIf(this::isOver);
  }

  private boolean beganNow(PackFault fault) {
    if (nowMs < fault.fault().fromMs()) {
      return false;
    }
    PackModel model = parts.packs().get(fault.fault().pack());
    fault.effect().turn(model.pack(), model.board(), true);
    running.add(fault);
    return true;
  }

  private boolean isOver(PackFault fault) {
    PackModel model = parts.packs().get(fault.fault().pack());
    if (fault.fault().covers(nowMs)) {
      fault.effect().during(model.pack(), nowMs);
      return false;
    }
    fault.effect().turn(model.pack(), model.board(), false);
    return true;
  }

  /** What the board of the first pack prints now. */
  public Reading measured() {
    return measured(0);
  }

  /** What the board of a pack, by index from 0, prints now. */
  public Reading measured(int pack) {
    PackModel model = parts.packs().get(pack);
    return model.board().measure(model.pack(), nowMs);
  }

  /** False while the board of a pack, by index from 0, sleeps and answers nobody. */
  public boolean isAwake(int pack) {
    return parts.packs().get(pack).board().isAwake();
  }

  public List<PackModel> packs() {
    return parts.packs();
  }

  /** Voltage of the bus, V. */
  public double busV() {
    return bus.busV();
  }

  /** What the charger gives, A. */
  public double chargerA() {
    return chargerA;
  }
}
