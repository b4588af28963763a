package org.cellherd.sim;

import java.util.List;

/**
 * Something that happens to the listening computer; the runner of a scenario carries it out.
 *
 * @param atMs power goes, ms UTC
 * @param backMs power is back, ms UTC
 * @param clockOffMs its clock is wrong by so much when it boots, ms; negative is in the past
 * @param rightMs its clock is set right, ms UTC
 */
public record MonitorEvent(long atMs, long backMs, long clockOffMs, long rightMs) {

  private static final double MINUTE_MS = 60_000;

  /** What happens to the listening computer in a scenario. */
  public static List<MonitorEvent> of(Scenario scenario) {
    return scenario.faults().stream()
        .filter(f -> f.kind() == Fault.Kind.BROWN_OUT)
        .map(MonitorEvent::of)
        .toList();
  }

  /** The event of a brown-out. */
  private static MonitorEvent of(Fault fault) {
    long right = fault.toMs() + Math.round(fault.amounts().get(1) * MINUTE_MS);
    return new MonitorEvent(
        fault.fromMs(), fault.toMs(), Math.round(fault.amount() * MINUTE_MS), right);
  }

  /** What the listener's wall clock shows at a time, ms UTC. */
  public long wallMs(long timeMs) {
    return timeMs >= backMs && timeMs < rightMs ? timeMs + clockOffMs : timeMs;
  }
}
