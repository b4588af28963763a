package org.cellherd.app.campaign;

import java.nio.file.Path;

final class SimulatedRun {
  SimulatedRun(Path folder, long seed) {}

  Outcome run(double hours) {
    throw new IllegalStateException("later");
  }
}
