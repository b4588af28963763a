package org.cellherd.fleet;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import org.cellherd.Await;
import org.cellherd.FreePort;
import org.cellherd.Tools;

/** Debian's PostgreSQL with a durable disk, which is killed by signal 9 and started again. */
final class KilledCentre implements CentreUnderTest {

  private static final Path VERSIONS = Path.of("/usr/lib/postgresql");
  private static final long KILL_WAIT_S = 60;

  private final Path programs;
  private final Path folder;
  private final int port;

  private KilledCentre(Path programs, Path folder, int port) {
    this.programs = programs;
    this.folder = folder;
    this.port = port;
  }

  /** A running one in a folder of its own. */
  static KilledCentre open() throws IOException {
    return in(Files.createTempDirectory("cellherd-centre-"));
  }

  /** A running one in an empty folder, which it takes away at the end. */
  static KilledCentre in(Path folder) throws IOException {
    Path programs = programs();
    KilledCentre centre = new KilledCentre(programs, folder, FreePort.find());
    if (isRoot()) {
      centre.run(List.of("chown", "nobody", folder.toString()));
    }
    centre.asUser("initdb", "-D", centre.data(), "-A", "trust", "-U", "postgres");
    centre.begin();
    return centre;
  }

  private static Path programs() throws IOException {
    if (Files.isDirectory(VERSIONS)) {
      try (Stream<Path> versions = Files.list(VERSIONS)) {
        Optional<Path> found =
            versions
                .map(v -> v.resolve("bin"))
                .filter(bin -> Files.isExecutable(bin.resolve("initdb")))
                .max(Comparator.naturalOrder());
        if (found.isPresent()) {
          return found.get();
        }
      }
    }
    throw Tools.missing("Debian's postgresql is not installed");
  }

  private static boolean isRoot() {
    return System.getProperty("user.name").equals("root");
  }

  private String data() {
    return folder.resolve("data").toString();
  }

  /** Starts it again, if it does not run. */
  void begin() {
    String options = "-p " + port + " -c listen_addresses=127.0.0.1 -k " + folder;
    Await.until(
        "PostgreSQL starts",
        () ->
            asUser("pg_ctl", "-D", data(), "status")
                || asUser(
                    "pg_ctl", "-D", data(), "-o", options, "-l", data() + "/log", "-w", "start"));
  }

  /** Kills the server and all its processes at once, as a loss of power does to programs. */
  @Override
  public void disturb() {
    List<ProcessHandle> all = processes();
    all.forEach(ProcessHandle::destroyForcibly);
    for (ProcessHandle each : all) {
      Await.until("a killed process is gone", () -> !each.isAlive());
    }
    begin();
  }

  /** All processes of the server as it runs now. */
  List<ProcessHandle> processes() {
    try {
      long server =
          Long.parseLong(Files.readAllLines(Path.of(data(), "postmaster.pid")).get(0).strip());
      ProcessHandle handle = ProcessHandle.of(server).orElseThrow();
      List<ProcessHandle> all = new ArrayList<>(handle.descendants().toList());
      all.add(handle);
      return all;
    } catch (IOException e) {
      throw new IllegalStateException(e);
    }
  }

  /** Stops it as its owner would. */
  void stop() {
    asUser("pg_ctl", "-D", data(), "-m", "fast", "-w", "stop");
  }

  /** Lets users in by these rules from now on, and ends every connection. */
  void rules(String text) throws IOException, SQLException {
    Files.writeString(Path.of(data(), "pg_hba.conf"), text);
    run("SELECT pg_reload_conf()");
    endConnections();
  }

  /** Ends every connection but the one that says so. */
  void endConnections() throws SQLException {
    run(
        "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE application_name ="
            + " 'cellherd'");
  }

  /** Runs a statement as its owner. */
  void run(String sql) throws SQLException {
    String url = "jdbc:postgresql://127.0.0.1:" + port + "/postgres";
    try (Connection connection = DriverManager.getConnection(url, "postgres", "");
        Statement statement = connection.createStatement()) {
      statement.execute(sql);
    }
  }

  /** Its address as a user writes it. */
  String url(String user) {
    return "postgresql://" + user + "@127.0.0.1:" + port + "/postgres";
  }

  @Override
  public CentreAddress address() {
    return CentreAddress.of(url("postgres"), new char[0], Optional.empty());
  }

  private boolean asUser(String program, String... words) {
    List<String> command = new ArrayList<>();
    if (isRoot()) {
      command.addAll(
          List.of("setpriv", "--reuid=nobody", "--regid=nogroup", "--clear-groups", "--"));
    }
    command.add(programs.resolve(program).toString());
    command.addAll(List.of(words));
    return run(command);
  }

  private boolean run(List<String> command) {
    try {
      Process process =
          new ProcessBuilder(command)
              .directory(folder.toFile())
              .redirectErrorStream(true)
              .redirectOutput(ProcessBuilder.Redirect.DISCARD)
              .start();
      return process.waitFor() == 0;
    } catch (IOException e) {
      throw new IllegalStateException(e);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      return false;
    }
  }

  @Override
  public void close() {
    asUser("pg_ctl", "-D", data(), "-m", "immediate", "-t", "" + KILL_WAIT_S, "stop");
    run(List.of("rm", "-rf", folder.toString()));
  }
}
