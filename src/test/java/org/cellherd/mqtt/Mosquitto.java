package org.cellherd.mqtt;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.Socket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Objects;
import org.cellherd.Await;
import org.cellherd.FreePort;
import org.cellherd.Tools;
import org.cellherd.mqtt.link.BrokerUrl;
import org.jspecify.annotations.Nullable;

/** The real broker of Debian, as a child process on a free port of loopback. */
public final class Mosquitto implements BrokerUnderTest {

  private final Path program = Tools.require("mosquitto");
  private final Path folder;
  private final int port;
  private final boolean tls;
  private @Nullable Process process;

  private Mosquitto(Path folder, boolean tls, String more) throws IOException {
    this.folder = folder;
    this.tls = tls;
    this.port = FreePort.find();
    String config =
        "listener " + port + " 127.0.0.1\nlog_dest none\npersistence false\nuser root\n" + more;
    Files.writeString(folder.resolve("mosquitto.conf"), config);
  }

  /** A running broker that lets anybody in. */
  public static Mosquitto open(Path folder) throws IOException {
    return started(new Mosquitto(folder, false, "allow_anonymous true\n"));
  }

  /** A running broker with further lines of configuration. */
  public static Mosquitto with(Path folder, boolean tls, String more) throws IOException {
    return started(new Mosquitto(folder, tls, more));
  }

  private static Mosquitto started(Mosquitto broker) {
    broker.start();
    return broker;
  }

  @Override
  public void start() {
    try {
      process =
          new ProcessBuilder(program.toString(), "-c", "mosquitto.conf")
              .directory(folder.toFile())
              .redirectErrorStream(true)
              .redirectOutput(folder.resolve("mosquitto.log").toFile())
              .start();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    }
    Await.until("mosquitto listens", this::listens);
  }

  private boolean listens() {
    try (Socket socket = new Socket()) {
      socket.connect(new InetSocketAddress(InetAddress.getLoopbackAddress(), port), 200);
      return true;
    } catch (IOException e) {
      return false;
    }
  }

  /** The system's number of it, while it runs. */
  public long pid() {
    return Objects.requireNonNull(process, "it does not run").pid();
  }

  /** It holds its sockets and does nothing, like a machine that hangs. */
  void freeze() {
    signal("-STOP");
  }

  /** It goes on. */
  void thaw() {
    signal("-CONT");
  }

  private void signal(String signal) {
    Process running = process;
    if (running == null) {
      return;
    }
    try {
      new ProcessBuilder("kill", signal, Long.toString(running.pid())).start().waitFor();
    } catch (IOException e) {
      throw new UncheckedIOException(e);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  @Override
  public void stop() {
    Process running = process;
    if (running != null) {
      running.destroyForcibly();
      running.onExit().join();
      process = null;
    }
  }

  @Override
  public BrokerUrl url() {
    return new BrokerUrl(tls, "127.0.0.1", port);
  }

  @Override
  public void close() {
    thaw();
    stop();
  }
}
