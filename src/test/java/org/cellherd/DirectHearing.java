package org.cellherd;

import java.util.Arrays;
import org.cellherd.pack.Gap;
import org.cellherd.pack.SessionStart;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.SimulatedRig;

/** Takes what the boards print without any line, which is fast. */
final class DirectHearing implements Hearing {
  private static final long GAP_EACH_MS = 60_000;

  private final Scenario scenario;
  private final SimulatedRig rig;
  private final Ear ear;
  private final long[] lastHeardMs;

  DirectHearing(Scenario scenario, SimulatedRig rig, Ear ear) {
    this.scenario = scenario;
    this.rig = rig;
    this.ear = ear;
    lastHeardMs = new long[rig.packs().size()];
    Arrays.fill(lastHeardMs, scenario.startMs());
    for (int i = 0; i < lastHeardMs.length; i++) {
      ear.heard(i, new SessionStart(scenario.startMs(), 1, true, true));
    }
  }

  @Override
  public void goOn(long timeMs) {
    rig.stepTo(timeMs);
    for (int i = 0; i < lastHeardMs.length; i++) {
      if (rig.isAwake(i)) {
        ear.heard(i, rig.measured(i).atTime(timeMs));
        lastHeardMs[i] = timeMs;
      } else if ((timeMs - lastHeardMs[i]) % GAP_EACH_MS < scenario.pollMs()) {
        ear.heard(i, new Gap(lastHeardMs[i], timeMs, Gap.Cause.NO_BYTES));
      }
    }
  }
}
