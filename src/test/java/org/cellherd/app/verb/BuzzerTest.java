package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.ServerSocket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.List;
import java.util.Optional;
import java.util.function.BooleanSupplier;
import org.cellherd.Await;
import org.cellherd.app.ExitCode;
import org.cellherd.app.SystemTime;
import org.cellherd.app.config.ConfigFiles;
import org.cellherd.app.config.Decoders;
import org.cellherd.app.daemon.Daemon;
import org.cellherd.app.daemon.Lines;
import org.cellherd.mqtt.MqttListener;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A buzzer without any broker, as its owner tries it. */
class BuzzerTest {

  @TempDir private Path folder;

  private Path buzzer(String script, String mode) throws IOException {
    Path buzzer = Files.writeString(folder.resolve("buzzer"), script);
    return Files.setPosixFilePermissions(buzzer, PosixFilePermissions.fromString(mode));
  }

  private String config(String... runs) throws IOException {
    StringBuilder text =
        new StringBuilder(
            """
            [[pack]]
            id = "crate"
            chemistry = "lfp"
            series = 4
            parallel = 6
            rated_ah = 27
            [pack.line]
            spec = "sorrel-16"
            link = "tcp:127.0.0.1:1"
            """);
    for (String run : runs) {
      text.append("[[alert.command]]\nrun = [\"" + run + "\"]\n");
    }
    return Files.writeString(folder.resolve("cellherd.toml"), text).toString();
  }

  private List<String> buzzed() {
    Path told = folder.resolve("told");
    try {
      return Files.exists(told) ? Files.readAllLines(told) : List.of();
    } catch (IOException unread) {
      throw new UncheckedIOException(unread);
    }
  }

  private Path working() throws IOException {
    String script =
        "#!/bin/sh\necho \"$CELLHERD_PACK $CELLHERD_RULE\" >> " + folder.resolve("told") + "\n";
    return buzzer(script, "rwxr-xr-x");
  }

  @Test
  void aTestRunsTheProgramWithoutABroker() throws Exception {
    String config = config(working().toString());

    Said said = Said.by("alerts", "test", "--config", config);

    assertThat(said.code()).as(said.err()).isEqualTo(ExitCode.DONE);
    assertThat(said.out()).contains("OK", "alert.command " + folder.resolve("buzzer"));
    assertThat(buzzed()).containsExactly("crate test");
    assertThat(Said.by("alerts", "test", "--json", "--config", config).out())
        .contains("\"worked\": true");
  }

  @Test
  void aProgramThatFailsIsNamedAndTheOthersRun() throws Exception {
    String config = config("/bin/false", "/nothing/here", working().toString());

    Said said = Said.by("alerts", "test", "--config", config);

    assertThat(said.code()).isEqualTo(ExitCode.NO);
    assertThat(said.out()).contains("FAIL  alert.command /bin/false", "ended with 1");
    assertThat(said.out()).contains("FAIL  alert.command /nothing/here", "No such file");
    assertThat(buzzed()).hasSize(1);
  }

  @Test
  void withoutAnyPathThereIsNothingToTest() throws Exception {
    Said said = Said.by("alerts", "test", "--config", config());

    assertThat(said.code()).isEqualTo(ExitCode.USAGE);
    assertThat(said.err()).contains("neither [mqtt] nor [[alert.command]]");
  }

  @Test
  void aTestOpensNoPage() throws Exception {
    int port = freePort();
    Path told = folder.resolve("told");
    Path program =
        buzzer(
            "#!/bin/bash\n(exec 3<>/dev/tcp/127.0.0.1/%d) && echo page >> %s; echo ran >> %s\n"
                .formatted(port, told, told),
            "rwxr-xr-x");
    String config = config(program.toString());
    Files.writeString(
        Path.of(config),
        Files.readString(Path.of(config)) + "[page]\nlisten = \"127.0.0.1:" + port + "\"\n");

    Said said = Said.by("alerts", "test", "--config", config);

    assertThat(said.code()).as(said.err()).isEqualTo(ExitCode.DONE);
    assertThat(buzzed()).containsExactly("ran");
  }

  private static int freePort() throws IOException {
    try (ServerSocket free = new ServerSocket(0)) {
      return free.getLocalPort();
    }
  }

  @Test
  void theRunningDaemonRunsTheProgramItself() throws Exception {
    Said said = besideADaemon(config(working().toString()), () -> !buzzed().isEmpty());

    assertThat(said.code()).as(said.err()).isEqualTo(ExitCode.DONE);
    assertThat(said.out()).contains("The running daemon runs " + folder.resolve("buzzer"));
    assertThat(buzzed()).containsExactly("crate test");
  }

  @Test
  void aProgramThatTheRunningDaemonMayNotRunIsSaid() throws Exception {
    String program = buzzer("#!/bin/sh\n", "rw-r--r--").toString();

    Said said = besideADaemon(config(program), () -> true);

    assertThat(said.code()).as(said.err()).isEqualTo(ExitCode.NO);
    assertThat(said.out()).contains("FAIL", "may not run " + program, "chmod a+x " + program);
  }

  private Said besideADaemon(String config, BooleanSupplier isDone) throws Exception {
    SystemTime time = new SystemTime();
    Path file = Path.of(config);
    try (Daemon daemon =
        Daemon.open(
            ConfigFiles.load(Optional.of(file)),
            new Daemon.Parts(
                time,
                time,
                new Decoders(file)::find,
                Lines.systemLinks(time),
                List.of(),
                new MqttListener() {}))) {
      Thread running = new Thread(daemon::runUntilStopped, "daemon");
      running.start();

      Said said = Said.by("alerts", "test", "--config", config);
      Await.until("done", isDone);
      daemon.stop();
      running.join();
      return said;
    }
  }

  @Test
  void checkSaysOfEachProgramWhetherItMayBeRun() throws Exception {
    String fine = config(working().toString());
    assertThat(Said.by("check", "--config", fine).code()).isEqualTo(ExitCode.DONE);

    buzzer("#!/bin/sh\n", "rw-r--r--");
    Said said = Said.by("check", "--config", fine);

    assertThat(said.code()).isEqualTo(ExitCode.NO);
    assertThat(said.out()).contains("FAIL  [alert.command]", "do: chmod a+x");
    assertThat(Said.by("check", "--json", "--config", config("/nothing/here")).out())
        .contains("\"commands\"", "/nothing does not exist");
  }
}
