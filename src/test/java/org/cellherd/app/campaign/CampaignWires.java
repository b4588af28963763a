package org.cellherd.app.campaign;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.function.LongSupplier;
import org.cellherd.app.campaign.stage.CampaignBoard;
import org.cellherd.app.campaign.stage.RoughWire;
import org.cellherd.sim.Scenario;
import org.cellherd.toml.Problems;

/** The packs of a campaign. */
final class CampaignWires {

  /** Where the numbers of boards begin that do not belong to a pack. */
  private static final int STRANGERS = 1_000_000_000;

  private CampaignWires() {}

  /** A pack's line, and another board of its kind that may be put on it. */
  static RoughWire wire(String name, long seed, LongSupplier trueMs) throws IOException {
    Scenario scenario = scenario(name).withSeed(seed);
    long startMs = trueMs.getAsLong();
    LongSupplier rigMs = () -> scenario.startMs() + trueMs.getAsLong() - startMs;
    CampaignBoard board = new CampaignBoard(scenario, rigMs, trueMs, 1);
    CampaignBoard stranger =
        new CampaignBoard(scenario.withSeed(seed + 1), rigMs, trueMs, STRANGERS);
    return new RoughWire(board, stranger, trueMs, seed);
  }

  private static Scenario scenario(String name) throws IOException {
    String file = name + ".toml";
    try (InputStream in = CampaignWires.class.getResourceAsStream(file)) {
      if (in == null) {
        throw new IOException("no " + file + " on the class path");
      }
      Problems problems = new Problems();
      String text = new String(in.readAllBytes(), StandardCharsets.UTF_8);
      return Scenario.read(file, text, problems)
          .orElseThrow(() -> new IOException(problems.toString()));
    }
  }
}
