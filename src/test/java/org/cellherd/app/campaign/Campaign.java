package org.cellherd.app.campaign;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Comparator;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.cellherd.app.campaign.stage.Card;

/**
 * Faults of every family, drawn at random, and the books balanced afterwards.
 *
 * <pre>
 * real MINUTES SEED         the program as a process, in real time (root, gcc and socat needed)
 * simulated HOURS SEED      the daemon's own classes on a driven clock
 * </pre>
 *
 * Names of faults or of their families behind these leave out all others.
 *
 * <p>Prints faults, balance and what alerts said; the exit code is 1 when anything is wrong, and
 * the folder under target/campaign stays.
 */
public final class Campaign {

  private Campaign() {}

  /** See the class. */
  public static void main(String[] args) throws Exception {
    Path folder = folder(args[0] + "-" + args[1] + "-" + args[2]);
    double length = Double.parseDouble(args[1]);
    long seed = Long.parseLong(args[2]);
    Set<String> only = Arrays.stream(args).skip(3).collect(Collectors.toSet());
    CampaignOutcome outcome =
        args[0].equals("real")
            ? new RealRun(folder, seed, only).run(length)
            : new SimulatedCampaign(folder, seed, only).run(length);
    System.out.println("Campaign " + String.join(" ", args));
    outcome.print(System.out);
    System.exit(outcome.faults().isEmpty() ? 0 : 1);
  }

  /** The same for the same arguments, since the log's name stands in what the program says. */
  private static Path folder(String name) throws IOException {
    Path folder = Path.of("target", "campaign", name);
    if (Files.exists(folder)) {
      Card.release(folder.resolve("card"));
      try (Stream<Path> old = Files.walk(folder)) {
        for (Path each : old.sorted(Comparator.reverseOrder()).toList()) {
          Files.delete(each);
        }
      }
    }
    return Files.createDirectories(folder);
  }
}
