package org.cellherd.app.daemon;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import java.util.function.BooleanSupplier;
import org.cellherd.JavaCommand;
import org.cellherd.mqtt.link.BrokerUrl;

/** The program as its own process, as a user starts it. */
public final class Program implements AutoCloseable {

  /** As the package starts a gatherer, which runs for months as the daemon does. */
  static final List<String> GATHERER =
      List.of(
          "-XX:+UseSerialGC",
          "-XX:-UsePerfData",
          "-Xss512k",
          "-Xms32m",
          "-Xmn20m",
          "-XX:SurvivorRatio=3",
          "-XX:MinHeapFreeRatio=10",
          "-XX:MaxHeapFreeRatio=20",
          "-XX:TieredStopAtLevel=1",
          "-XX:+ExitOnOutOfMemoryError");

  private static final List<String> SMALL =
      List.of("-XX:+UseSerialGC", "-Xmx64m", "-XX:TieredStopAtLevel=1", "-XX:-UsePerfData");

  private final Process process;
  private final Path output;

  private Program(Process process, Path output) {
    this.process = process;
    this.output = output;
  }

  /** Starts the program in a folder; standard output and error go to a file there. */
  static Program start(Path folder, String... arguments) throws IOException {
    return start(folder, Map.of(), arguments);
  }

  /** Begins a gatherer between a broker and a database. */
  public static Program gatherer(Path folder, BrokerUrl broker, String store) throws IOException {
    return start(folder, "gather", "--broker", broker.toString(), "--store", store);
  }

  /** The same with more in its environment. */
  public static Program start(Path folder, Map<String, String> environment, String... arguments)
      throws IOException {
    List<String> options = arguments[0].equals("gather") ? GATHERER : SMALL;
    return start(
        folder, environment, JavaCommand.of(options, "org.cellherd.app.verb.Main", arguments));
  }

  /** Starts any program in a folder. */
  static Program start(Path folder, List<String> command) throws IOException {
    return start(folder, Map.of(), command);
  }

  private static Program start(Path folder, Map<String, String> environment, List<String> command)
      throws IOException {
    Path output = Files.createTempFile(folder, "program", ".out");
    ProcessBuilder builder =
        new ProcessBuilder(command)
            .directory(folder.toFile())
            .redirectErrorStream(true)
            .redirectOutput(output.toFile());
    builder.environment().putAll(environment);
    Process process = builder.start();
    return new Program(process, output);
  }

  /** Starts the program, waits for its end and returns its exit code. */
  public static Ended run(Path folder, String... arguments)
      throws IOException, InterruptedException {
    return run(folder, Map.of(), arguments);
  }

  /** The same with more in its environment. */
  public static Ended run(Path folder, Map<String, String> environment, String... arguments)
      throws IOException, InterruptedException {
    try (Program program = start(folder, environment, arguments)) {
      if (!program.process.waitFor(300, TimeUnit.SECONDS)) {
        throw new IllegalStateException("did not end: " + String.join(" ", arguments));
      }
      return new Ended(program.process.exitValue(), program.text());
    }
  }

  /** How a program ended. */
  public record Ended(int code, String text) {}

  /** The system's number of it. */
  public long pid() {
    return process.pid();
  }

  /** All that it has printed so far. */
  public String text() {
    try {
      return Files.readString(output, StandardCharsets.UTF_8);
    } catch (IOException gone) {
      return "";
    }
  }

  /** Waits until it has printed something. */
  public void awaitText(String expected) throws InterruptedException {
    until(() -> text().contains(expected) || !process.isAlive(), "the text " + expected);
    if (!text().contains(expected)) {
      throw new IllegalStateException("ended without \"" + expected + "\":\n" + text());
    }
  }

  /** The same as {@link #until}, and tells what the program said where it waits in vain. */
  void await(BooleanSupplier condition, String what) throws InterruptedException {
    try {
      until(condition, what);
    } catch (IllegalStateException inVain) {
      throw new IllegalStateException(inVain.getMessage() + "; it said:\n" + text(), inVain);
    }
  }

  /** Waits until something is so; not for ever, and long on a loaded computer. */
  static void until(BooleanSupplier condition, String what) throws InterruptedException {
    long end = System.nanoTime() + TimeUnit.SECONDS.toNanos(300);
    while (!condition.getAsBoolean()) {
      if (System.nanoTime() > end) {
        throw new IllegalStateException("waited in vain for " + what);
      }
      TimeUnit.MILLISECONDS.sleep(50);
    }
  }

  /** False once it has ended. */
  public boolean isAlive() {
    return process.isAlive();
  }

  /** The exit code of one that has ended. */
  public int exitCode() {
    return process.exitValue();
  }

  /** SIGTERM, then the exit code. */
  public int terminate() throws InterruptedException {
    process.destroy();
    if (!process.waitFor(120, TimeUnit.SECONDS)) {
      throw new IllegalStateException("did not stop:\n" + text());
    }
    return process.exitValue();
  }

  /** SIGKILL: no warning, no farewell. */
  public void kill() throws InterruptedException {
    process.destroyForcibly();
    process.waitFor();
  }

  @Override
  public void close() {
    process.destroyForcibly();
  }
}
