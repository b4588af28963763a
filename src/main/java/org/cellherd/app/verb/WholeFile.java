package org.cellherd.app.verb;

import java.io.BufferedWriter;
import java.io.DataOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.io.OutputStreamWriter;
import java.io.RandomAccessFile;
import java.io.UncheckedIOException;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.PosixFileAttributes;
import java.util.regex.Pattern;
import java.util.zip.CRC32;
import org.cellherd.app.FileCause;
import org.cellherd.app.Stop;
import org.cellherd.pack.StorageFailure;

/**
 * A file that a user wants, whole or not at all: where it cannot be finished no half of it is left,
 * and what was there stays. Only what is no file of this user's own, such as a device, a link or
 * another's file, is written in its place.
 */
final class WholeFile {

  /** Says in a page, a picture or a label, behind all that is shown, whose it is. */
  private static final String MARK = "made by cellherd";

  /** How rows of readings begin: of the names of their columns the first alone is quoted. */
  private static final Pattern BEGINNING = Pattern.compile("\"time\"([,;][a-z]|\\s*\\z)");

  /** How a report in text ends, or what is marked. */
  private static final Pattern END =
      Pattern.compile(
          " by cellherd \\S+\\s*\\z|" + MARK + "( -->)?\n?(.{8}IEND.{4})?\\z", Pattern.DOTALL);

  /** More than a beginning or an end takes. */
  private static final int LOOKED_AT = 100;

  private static final byte PNG = (byte) 0x89;

  /** Length, kind and check value of the last part of a PNG picture, which is empty. */
  private static final int PNG_END = 12;

  private WholeFile() {}

  @FunctionalInterface
  private interface Filling {
    void into(OutputStream out) throws IOException, StorageFailure;
  }

  @FunctionalInterface
  interface Text {
    void into(Writer out) throws IOException, StorageFailure;
  }

  /**
   * Keeps what is there, whatever it is.
   *
   * @throws Stop with exit code 2 where there is something
   */
  static void refuseTaken(Path target) {
    if (Files.exists(target)) {
      throw Stop.usage(target + ": is there already and is kept; name another file");
    }
  }

  /**
   * Writes a file, marked as the program's own, and says so.
   *
   * @throws Stop with exit code 2 where it cannot be written, or what is there is no such file
   */
  static void write(Path target, byte[] bytes, Output output) {
    keepOthers(target);
    try {
      fill(target, out -> writeMarked(bytes, out));
    } catch (StorageFailure never) {
      throw new IllegalStateException(never);
    }
    output.err().println("written: " + target);
  }

  /** The same of a text, with nothing said; whether it may take a file's place its caller knows. */
  static void write(Path target, String text) {
    try {
      fill(target, out -> out.write(text.getBytes(StandardCharsets.UTF_8)));
    } catch (StorageFailure never) {
      throw new IllegalStateException(never);
    }
  }

  /** The same of a text that is made while it is written. */
  static void write(Path target, Text text) throws StorageFailure {
    keepOthers(target);
    fill(
        target,
        bytes -> {
          Writer out = new BufferedWriter(new OutputStreamWriter(bytes, StandardCharsets.UTF_8));
          text.into(out);
          out.flush();
        });
  }

  private static void writeMarked(byte[] bytes, OutputStream out) throws IOException {
    int last = Math.min(LOOKED_AT, bytes.length);
    boolean isTold = END.matcher(text(bytes, bytes.length - last, last)).find();
    switch (isTold ? 0 : bytes[0]) {
      case '<' -> {
        out.write(bytes);
        out.write(("<!-- " + MARK + " -->\n").getBytes(StandardCharsets.US_ASCII));
      }
      case '%' -> {
        out.write(bytes);
        out.write(("%" + MARK + "\n").getBytes(StandardCharsets.US_ASCII));
      }
      case PNG -> {
        out.write(bytes, 0, bytes.length - PNG_END);
        byte[] text = ("tEXtSoftware\0" + MARK).getBytes(StandardCharsets.US_ASCII);
        CRC32 check = new CRC32();
        check.update(text);
        DataOutputStream chunk = new DataOutputStream(out);
        chunk.writeInt(text.length - 4);
        chunk.write(text);
        chunk.writeInt((int) check.getValue());
        chunk.write(bytes, bytes.length - PNG_END, PNG_END);
      }
      default -> out.write(bytes);
    }
  }

  /** A slip of the finger may name the log itself, or what somebody measured for weeks. */
  private static void keepOthers(Path target) {
    try {
      if (Files.isRegularFile(target) && !isMade(target)) {
        throw Stop.usage(
            target
                + ": exists and is no earlier export, report or picture; it is kept; name another"
                + " file");
      }
    } catch (IOException cannot) {
      throw FileCause.unwritable(target, cannot);
    }
  }

  private static boolean isMade(Path file) throws IOException {
    try (RandomAccessFile there = new RandomAccessFile(file.toFile(), "r")) {
      byte[] some = new byte[(int) Math.min(LOOKED_AT, there.length())];
      there.readFully(some);
      String beginning = text(some, 0, some.length);
      there.seek(there.length() - some.length);
      there.readFully(some);
      String end = text(some, 0, some.length);
      return some.length == 0
          || BEGINNING.matcher(beginning).lookingAt()
          || END.matcher(end).find();
    }
  }

  private static String text(byte[] bytes, int from, int count) {
    return new String(bytes, from, count, StandardCharsets.ISO_8859_1);
  }

  private static void fill(Path target, Filling filling) throws StorageFailure {
    Path part = target.resolveSibling("." + target.getFileName() + ".unfinished");
    try {
      if (!begin(target, part)) {
        try (OutputStream out = Files.newOutputStream(target)) {
          filling.into(out);
        }
        return;
      }
      try (OutputStream out = Files.newOutputStream(part, StandardOpenOption.WRITE)) {
        filling.into(out);
      }
      Files.move(part, target, StandardCopyOption.ATOMIC_MOVE);
    } catch (IOException | UncheckedIOException cannot) {
      throw FileCause.unwritable(target, cannot);
    } finally {
      remove(part);
    }
  }

  /** True when the part may take the place of the file, with the owner and the rights of that. */
  private static boolean begin(Path target, Path part) throws IOException {
    boolean isThere = Files.exists(target, LinkOption.NOFOLLOW_LINKS);
    boolean isFile = Files.isRegularFile(target, LinkOption.NOFOLLOW_LINKS);
    Path folder = target.toAbsolutePath().getParent();
    boolean isOwn = !isThere || (isFile && Files.isWritable(target));
    if (folder == null || !Files.isWritable(folder) || !isOwn) {
      return false;
    }
    Files.deleteIfExists(part);
    Files.createFile(part);
    if (!isThere) {
      return true;
    }
    PosixFileAttributes old = Files.readAttributes(target, PosixFileAttributes.class);
    PosixFileAttributes made = Files.readAttributes(part, PosixFileAttributes.class);
    Files.setPosixFilePermissions(part, old.permissions());
    return old.owner().equals(made.owner()) && old.group().equals(made.group());
  }

  private static void remove(Path part) {
    try {
      Files.deleteIfExists(part);
    } catch (IOException leftBehind) {
      System.getLogger(WholeFile.class.getName())
          .log(System.Logger.Level.DEBUG, "removing {0}: {1}", part, leftBehind.getMessage());
    }
  }
}
