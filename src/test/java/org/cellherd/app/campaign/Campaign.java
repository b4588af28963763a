package org.cellherd.app.campaign;

import java.nio.file.Files;
import java.nio.file.Path;

/**
 * Faults of every family, drawn at random, and the books balanced afterwards.
 *
 * <pre>
 * real MINUTES SEED         the program as a process, in real time (root, gcc and socat needed)
 * simulated HOURS SEED      the daemon's own classes on a driven clock
 * </pre>
 *
 * Prints faults, balance and what alerts said; the exit code is 1 when anything is wrong, and the
 * folder under target/ stays.
 */
public final class Campaign {

  private Campaign() {}

  /** See the class. */
  public static void main(String[] args) throws Exception {
    Path folder = Files.createTempDirectory(Files.createDirectories(Path.of("target")), "campaign");
    double length = Double.parseDouble(args[1]);
    long seed = Long.parseLong(args[2]);
    Outcome outcome =
        args[0].equals("real")
            ? new RealRun(folder, seed).run(length)
            : new SimulatedRun(folder, seed).run(length);
    System.out.println("Campaign " + String.join(" ", args));
    outcome.print(System.out);
    System.exit(outcome.faults().isEmpty() ? 0 : 1);
  }
}
