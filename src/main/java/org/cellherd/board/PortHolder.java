package org.cellherd.board;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.DirectoryIteratorException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import java.util.Set;

/**
 * Finds the other program that has a port open. Linux only, and only programs that this user may
 * look into; the system itself lets two programs open one port and mix up each other's bytes.
 */
final class PortHolder {
  private static final Path PROCESSES = Path.of("/proc");

  /** The second where the system's own lies in its folder, as in containers. */
  private static final Set<String> TERMINAL_MAKERS = Set.of("/dev/ptmx", "/dev/pts/ptmx");

  static final String OURS = "cellherd";

  private PortHolder() {}

  /** The other program as {@code name (process 123)}, or empty when none is seen. */
  static Optional<String> of(Path port) {
    Optional<Path> device = StableNames.realPath(port);
    String self = Long.toString(ProcessHandle.current().pid());
    if (device.isEmpty() || !Files.isDirectory(PROCESSES)) {
      return Optional.empty();
    }
    try (DirectoryStream<Path> processes = Files.newDirectoryStream(PROCESSES, "[0-9]*")) {
      for (Path process : processes) {
        String id = process.getFileName().toString();
        if (!id.equals(self) && holds(process, device.get().toString())) {
          return Optional.of(nameOf(process) + " (process " + id + ")");
        }
      }
    } catch (IOException | DirectoryIteratorException e) {
      return Optional.empty();
    }
    return Optional.empty();
  }

  /** A program that makes pseudo-terminals holds their far side by right. */
  private static boolean holds(Path process, String device) {
    boolean isHeld = false;
    try (DirectoryStream<Path> files = Files.newDirectoryStream(process.resolve("fd"))) {
      for (Path file : files) {
        String target = Files.readSymbolicLink(file).toString();
        if (TERMINAL_MAKERS.contains(target)) {
          return false;
        }
        // A container may have another device under the same name.
        isHeld |= target.equals(device) && Files.isSameFile(file, Path.of(device));
      }
    } catch (IOException | DirectoryIteratorException e) {
      return false;
    }
    return isHeld;
  }

  private static String nameOf(Path process) {
    try {
      // The program that this is started by is the runtime; its own name stands behind it.
      String line = Files.readString(process.resolve("cmdline"), StandardCharsets.UTF_8);
      return line.contains(OURS) ? "cellherd" : Files.readString(process.resolve("comm")).strip();
    } catch (IOException e) {
      return "a program";
    }
  }
}
