package org.cellherd;

import java.io.File;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.stream.Collectors;

/** How to start a program of ours as a process of its own. */
public final class JavaCommand {

  /** Options of a process that lives for seconds. */
  public static final List<String> SHORT = List.of("-XX:+UseSerialGC", "-XX:TieredStopAtLevel=1");

  private JavaCommand() {}

  /** This Java with our classes, from any folder; more words may be added. */
  public static List<String> of(List<String> options, String main, String... words) {
    List<String> command = new ArrayList<>();
    command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
    command.addAll(options);
    command.addAll(List.of("-cp", classPath(), main));
    command.addAll(List.of(words));
    return command;
  }

  private static String classPath() {
    return Arrays.stream(System.getProperty("java.class.path").split(File.pathSeparator))
        .map(each -> Path.of(each).toAbsolutePath().toString())
        .collect(Collectors.joining(File.pathSeparator));
  }
}
