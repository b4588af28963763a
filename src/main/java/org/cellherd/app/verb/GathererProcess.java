package org.cellherd.app.verb;

import java.io.File;
import java.io.IOException;
import java.net.URISyntaxException;
import java.net.URL;
import java.net.URLClassLoader;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.concurrent.TimeUnit;
import java.util.stream.Collectors;
import org.cellherd.pack.TimeSource;

/** A gatherer as a process of its own, which can be killed as a loss of power kills it. */
final class GathererProcess implements AutoCloseable {

  private static final long LOOK_NANOS = 50_000_000L;
  private static final long START_S = 60;
  private static final long END_S = 10;

  private final Process process;
  private final Path said;

  private GathererProcess(Process process, Path said) {
    this.process = process;
    this.said = said;
  }

  /**
   * Starts one and waits until it gathers.
   *
   * @param said where what it says goes
   * @param words of its command line
   */
  public static GathererProcess start(Path said, List<String> words, TimeSource time)
      throws IOException, InterruptedException {
    String java = Path.of(System.getProperty("java.home"), "bin", "java").toString();
    ProcessBuilder builder =
        new ProcessBuilder(java, "-XX:+UseSerialGC", "-XX:TieredStopAtLevel=1", "-cp", classPath());
    builder.command().add("org.cellherd.app.verb.Main");
    builder.command().addAll(words);
    builder.redirectErrorStream(true).redirectOutput(said.toFile());
    GathererProcess begun = new GathererProcess(builder.start(), said);
    boolean isReady = false;
    try {
      begun.awaitReady(time);
      isReady = true;
      return begun;
    } finally {
      if (!isReady) {
        begun.close();
      }
    }
  }

  private void awaitReady(TimeSource time) throws IOException, InterruptedException {
    long end = time.monotonicNanos() + TimeUnit.SECONDS.toNanos(START_S);
    while (!Files.readString(said).contains("gathering ")) {
      if (!process.isAlive() || time.monotonicNanos() > end) {
        throw new IOException("a gatherer did not start: " + Files.readString(said).strip());
      }
      time.sleepNanos(LOOK_NANOS);
    }
  }

  /** What this program itself was loaded from, also where a build tool loaded it. */
  private static String classPath() {
    if (GathererProcess.class.getClassLoader() instanceof URLClassLoader loader) {
      return Arrays.stream(loader.getURLs())
          .map(GathererProcess::file)
          .collect(Collectors.joining(File.pathSeparator));
    }
    return System.getProperty("java.class.path");
  }

  private static String file(URL url) {
    try {
      return Path.of(url.toURI()).toString();
    } catch (URISyntaxException e) {
      throw new IllegalStateException(e);
    }
  }

  /** Its number. */
  public long pid() {
    return process.pid();
  }

  /** Ends it without a chance to say or write anything more. */
  public void kill() throws InterruptedException {
    process.destroyForcibly().waitFor();
  }

  @Override
  public void close() {
    process.destroy();
    try {
      if (!process.waitFor(END_S, TimeUnit.SECONDS)) {
        process.destroyForcibly();
      }
    } catch (InterruptedException hurry) {
      process.destroyForcibly();
      Thread.currentThread().interrupt();
    }
  }
}
