package org.cellherd.app.command;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.List;
import java.util.Random;

/** Folders, links and a program at their end, drawn at random. */
final class DrawnTree {

  static final int OWN = 41_001;
  static final int STRANGER = 41_002;
  static final int OWN_GROUP = 41_011;
  static final int STRANGE_GROUP = 41_012;

  private static final List<Integer> FOLDER_MODES =
      List.of(0755, 0755, 0755, 0711, 0750, 0710, 0701, 0700, 0644, 0077, 0667);
  private static final List<Integer> FILE_MODES =
      List.of(0755, 0755, 0755, 0711, 0750, 0700, 0644, 0611, 0077, 0701, 0455, 0000);

  private final Random random;
  private final boolean isRoot;
  private final Path root;
  private int count;

  DrawnTree(Path root, long seed, boolean isRoot) {
    this.root = root;
    this.random = new Random(seed);
    this.isRoot = isRoot;
  }

  /** The path of a program, which may or may not be run. */
  Path program() throws IOException {
    Path folder = root;
    Path named = root;
    for (int depth = random.nextInt(4); depth > 0; depth--) {
      folder = Files.createDirectory(folder.resolve("d" + count++));
      named = named.resolve(folder.getFileName());
      if (random.nextInt(4) == 0) {
        Path link = root.resolve("link" + count++);
        boolean isRelative = random.nextBoolean();
        Files.createSymbolicLink(link, isRelative ? root.relativize(folder) : folder);
        named = link;
      }
      if (random.nextInt(6) == 0) {
        named = named.resolve("..").resolve(folder.getFileName());
      }
    }
    Path end = end(folder);
    Path walked = named.resolve(end.getFileName());
    Path inner = root;
    for (Path name : root.relativize(folder)) {
      inner = inner.resolve(name);
      if (!inner.equals(root)) {
        own(inner, pick(FOLDER_MODES));
      }
    }
    return walked;
  }

  private Path end(Path folder) throws IOException {
    Path file = folder.resolve("program" + count++);
    int kind = random.nextInt(24);
    if (kind == 0) {
      return file;
    }
    if (kind == 1) {
      return Files.createDirectory(file);
    }
    if (kind == 2) {
      return Files.createSymbolicLink(file, file.getFileName());
    }
    if (kind == 3) {
      return Files.createSymbolicLink(file, Path.of("/bin/true"));
    }
    if (kind < 10) {
      Files.copy(Path.of("/bin/true"), file, StandardCopyOption.REPLACE_EXISTING);
    } else {
      Files.writeString(file, script(folder));
    }
    own(file, pick(FILE_MODES));
    return file;
  }

  private String script(Path folder) throws IOException {
    return switch (random.nextInt(10)) {
      case 0 -> "#!/bin/sh -e\nexit 0\n";
      case 1 -> "#! \t/bin/sh\nexit 0\n";
      case 2 -> "#!/bin/sh\r\nexit 0\n";
      case 3 -> "#!/nothing/here\nexit 0\n";
      case 4 -> "#!bin/sh\nexit 0\n";
      case 5 -> "exit 0\n";
      case 6 -> "";
      case 7 -> "#!" + end(folder) + "\nexit 0\n";
      case 8 -> "#!/etc\nexit 0\n";
      default -> "#!/bin/sh\nexit 0\n";
    };
  }

  private void own(Path path, int mode) throws IOException {
    if (isRoot) {
      Files.setAttribute(
          path, "unix:uid", pick(List.of(0, OWN, STRANGER)), LinkOption.NOFOLLOW_LINKS);
      Files.setAttribute(
          path, "unix:gid", pick(List.of(0, OWN_GROUP, STRANGE_GROUP)), LinkOption.NOFOLLOW_LINKS);
    }
    Files.setAttribute(path, "unix:mode", mode);
  }

  private int pick(List<Integer> values) {
    return values.get(random.nextInt(values.size()));
  }
}
