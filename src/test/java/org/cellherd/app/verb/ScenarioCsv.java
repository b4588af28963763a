package org.cellherd.app.verb;

import java.util.ArrayList;
import java.util.List;
import org.cellherd.protocol.ReadingCsv;
import org.cellherd.protocol.ReadingCsvWriter;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.SimulatedRig;
import org.cellherd.toml.Problems;

/** What the board of a scenario measures, as a file of readings. */
final class ScenarioCsv {

  private ScenarioCsv() {}

  /**
   * The file's lines.
   *
   * @param cells how many cells have a column
   * @param others further columns, each behind a comma
   */
  static List<String> lines(Scenario scenario, int cells, String others) {
    StringBuilder header = new StringBuilder("time,current_a,pack_v");
    for (int cell = 1; cell <= cells; cell++) {
      header.append(",cell_").append(cell).append("_v");
    }
    header.append(others);
    ReadingCsv columns =
        ReadingCsv.ofHeader("s.csv", header.toString(), false, new Problems()).orElseThrow();
    ReadingCsvWriter writer = new ReadingCsvWriter(columns);
    List<String> lines = new ArrayList<>(List.of(header.toString()));
    SimulatedRig rig = scenario.rig();
    for (long t = scenario.startMs(); t <= scenario.endMs(); t += scenario.pollMs()) {
      rig.stepTo(t);
      lines.add(writer.line(rig.measured().atTime(t)));
    }
    return lines;
  }
}
