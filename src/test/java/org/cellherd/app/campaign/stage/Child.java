package org.cellherd.app.campaign.stage;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.cellherd.app.campaign.books.Vanished;
import org.cellherd.app.config.PlanText;
import org.cellherd.app.daemon.Program;
import org.jspecify.annotations.Nullable;

/** The program as a child process, started again after each end. One thread. */
public final class Child implements Life, AutoCloseable {

  /**
   * One life.
   *
   * @param fromMs true time of its start
   * @param toMs true time of its end
   * @param wasKilled whether it ended by a kill
   * @param text all that it printed
   */
  public record Past(long fromMs, long toMs, boolean wasKilled, boolean isDamaging, String text) {}

  /** What its config names. */
  public record Settings(
      Path folder, Path log, int boardPort, Path serialPort, int brokerPort, int pagePort) {}

  private static final long SETTLED_MS = 20_000;

  private final Settings settings;
  private final List<CampaignBoard> boards;
  private final Shim shim;
  private final Random random;
  private final List<Past> past = new ArrayList<>();
  private final EventRegister register;
  private @Nullable Program program;
  private long startedMs;
  private double deadZoneA = 0.1;
  private boolean leavesOut;

  /** Nobody runs yet. */
  public Child(Settings settings, List<CampaignBoard> boards, Shim shim, long seed) {
    this.settings = settings;
    this.boards = List.copyOf(boards);
    this.shim = shim;
    this.random = new Random(seed);
    this.register = new EventRegister(settings.folder);
  }

  /** The log. */
  public Path log() {
    return settings.log();
  }

  /** Writes the config and starts it. */
  public void start() throws IOException {
    Files.writeString(settings.folder().resolve("cellherd.toml"), config());
    startedMs = shim.trueMs();
    program = Program.start(settings.folder(), shim.environment(), "run");
  }

  private String config() {
    Settings s = settings;
    String head =
        """
        site = "bench"
        zone = "UTC"
        [store]
        file = "%s"
        at_risk_s = 10
        [mqtt]
        url = "mqtt://127.0.0.1:%d"
        [page]
        listen = "127.0.0.1:%d"
        """
            .formatted(s.log(), s.brokerPort(), s.pagePort());
    String crate = pack(boards.get(0), "tcp:127.0.0.1:" + s.boardPort());
    return head + crate + (leavesOut ? "" : serial(boards.get(1)));
  }

  /** A pseudo-terminal has no parity bit, and refuses to be asked for one again. */
  private String serial(CampaignBoard board) {
    return pack(board, settings.serialPort() + "\"\nparity = \"none");
  }

  private String pack(CampaignBoard board, String link) {
    return PlanText.of(board.plan())
        + """
        [pack.line]
        spec = "%s"
        link = "%s"
        poll_s = 1
        [pack.analysis]
        dead_zone_a = %s
        """
            .formatted(board.spec(), link, Double.toString(deadZoneA));
  }

  /** Starts anew, from the next time on, without the last pack or with it. */
  public void leaveOutTheLastPack(boolean out) {
    leavesOut = out;
  }

  @Override
  public void changePlan() {
    deadZoneA = deadZoneA < 0.11 ? 0.12 : 0.1;
  }

  @Override
  public void restart(boolean isKilled, boolean isDamaging, FileWork between) throws Exception {
    end(isKilled, isDamaging);
    try {
      between.strike(settings.log(), random);
    } finally {
      start();
    }
  }

  /** Ends it; the exit code of an end in order must be that of SIGTERM. */
  public void end(boolean isKilled, boolean isDamaging) throws Exception {
    Program running = running();
    boolean hadEnded = !running.isAlive();
    int code = 143;
    if (isKilled || hadEnded) {
      running.kill();
    } else {
      code = running.terminate();
    }
    register.runEnded(log(), past.size());
    past.add(new Past(startedMs, shim.trueMs(), isKilled || hadEnded, isDamaging, running.text()));
    if (hadEnded) {
      throw new IllegalStateException(
          "it had ended by itself with " + running.exitCode() + ":\n" + tail(running.text()));
    } else if (code != 143) {
      throw new IllegalStateException("it ended with " + code + ":\n" + tail(running.text()));
    }
  }

  private static String tail(String text) {
    return text.substring(Math.max(0, text.length() - 1500));
  }

  /** True while it runs. */
  public boolean isAlive() {
    Program running = program;
    return running != null && running.isAlive();
  }

  /** True once it had the time to begin all that it does, also on a busy computer. */
  public boolean isSettled() {
    return isAlive() && shim.trueMs() - startedMs > SETTLED_MS;
  }

  /** Sends a signal by its name, such as STOP. */
  public void signal(String name) {
    try {
      new ProcessBuilder("kill", "-" + name, Long.toString(running().pid()))
          .redirectErrorStream(true)
          .redirectOutput(ProcessBuilder.Redirect.DISCARD)
          .start()
          .onExit()
          .join();
    } catch (IOException unexpected) {
      throw new IllegalStateException(unexpected);
    }
  }

  /** The running one. */
  public Program running() {
    Program running = program;
    if (running == null) {
      throw new IllegalStateException("nobody runs");
    }
    return running;
  }

  /** True time at which the running one was started, ms UTC. */
  public long startedMs() {
    return startedMs;
  }

  /** All lives that have ended. */
  public List<Past> past() {
    return List.copyOf(past);
  }

  /** Every event that a log ever held at the end of a life, and which life that was last. */
  public List<Vanished> lastHeld() {
    return register.lastHeld();
  }

  @Override
  public void close() {
    Program running = program;
    if (running != null) {
      running.close();
    }
  }
}
