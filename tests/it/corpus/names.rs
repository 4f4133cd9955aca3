//! The names that a value has in a file: `Segment.title`, `Technique::Bend`; and those that its type could have.

use std::collections::BTreeSet;
use std::fmt;

use ron::Error;
use serde::de::{self, DeserializeOwned, Deserializer, Visitor};
use serde::ser::{self, Serialize, Serializer};

/// Adds the name of every field and variant that is written for `value`. What a file leaves out is not there.
pub fn written_in(value: &impl Serialize, names: &mut BTreeSet<String>) {
    value.serialize(Names(names)).unwrap();
}

/// Returns the name of every field of a struct or every variant of an enum that is called `of`, as its reader asks for them.
pub fn known_of<T: DeserializeOwned>(of: &str) -> BTreeSet<String> {
    match T::deserialize(AskedFor).err() {
        Some(Answer::Fields(fields)) => fields.iter().map(|name| format!("{of}.{name}")).collect(),
        Some(Answer::Variants(variants)) => variants.iter().map(|name| format!("{of}::{name}")).collect(),
        Some(Answer::Other(other)) => panic!("{of} does not tell its names: {other}"),
        None => panic!("{of} has no names"),
    }
}

/// Holds nothing, and answers with what it is asked for.
struct AskedFor;

/// What a reader asked for, which stops it.
#[derive(Debug)]
enum Answer {
    Fields(&'static [&'static str]),
    Variants(&'static [&'static str]),
    Other(String),
}

impl fmt::Display for Answer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{self:?}")
    }
}

impl std::error::Error for Answer {}

impl de::Error for Answer {
    fn custom<T: fmt::Display>(message: T) -> Self {
        Self::Other(message.to_string())
    }
}

impl<'de> Deserializer<'de> for AskedFor {
    type Error = Answer;

    fn deserialize_any<V: Visitor<'de>>(self, _: V) -> Result<V::Value, Answer> {
        Err(Answer::Other("it is read as anything".to_owned()))
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        fields: &'static [&'static str],
        _: V,
    ) -> Result<V::Value, Answer> {
        Err(Answer::Fields(fields))
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        variants: &'static [&'static str],
        _: V,
    ) -> Result<V::Value, Answer> {
        Err(Answer::Variants(variants))
    }

    serde::forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf option unit unit_struct
        newtype_struct seq tuple tuple_struct map identifier ignored_any
    }
}

/// Writes nothing down but names.
struct Names<'a>(&'a mut BTreeSet<String>);

/// The parts of something called so.
struct Parts<'a>(&'a mut BTreeSet<String>, &'static str);

impl Parts<'_> {
    fn part(&mut self, value: &(impl Serialize + ?Sized)) -> Result<(), Error> {
        value.serialize(Names(self.0))
    }

    fn field(&mut self, name: &str, value: &(impl Serialize + ?Sized)) -> Result<(), Error> {
        self.0.insert(format!("{}.{name}", self.1));
        self.part(value)
    }
}

/// Values that have no names in them.
macro_rules! nameless {
    ($($method:ident($type:ty)),+ $(,)?) => {$(
        fn $method(self, _: $type) -> Result<(), Error> {
            Ok(())
        }
    )+};
}

/// Values that are made of parts, which are called after what they are parts of.
macro_rules! of_parts {
    (nameless: $($method:ident($length:ty)),+) => {$(
        fn $method(self, _: $length) -> Result<Parts<'a>, Error> {
            Ok(Parts(self.0, ""))
        }
    )+};
    (named: $($method:ident),+) => {$(
        fn $method(self, name: &'static str, _: usize) -> Result<Parts<'a>, Error> {
            Ok(Parts(self.0, name))
        }
    )+};
    (variants: $($method:ident),+) => {$(
        fn $method(
            self,
            name: &'static str,
            _: u32,
            variant: &'static str,
            _: usize,
        ) -> Result<Parts<'a>, Error> {
            self.0.insert(format!("{name}::{variant}"));
            Ok(Parts(self.0, variant))
        }
    )+};
}

impl<'a> Serializer for Names<'a> {
    type Ok = ();
    type Error = Error;
    type SerializeSeq = Parts<'a>;
    type SerializeTuple = Parts<'a>;
    type SerializeTupleStruct = Parts<'a>;
    type SerializeTupleVariant = Parts<'a>;
    type SerializeMap = Parts<'a>;
    type SerializeStruct = Parts<'a>;
    type SerializeStructVariant = Parts<'a>;

    nameless!(
        serialize_bool(bool),
        serialize_i8(i8),
        serialize_i16(i16),
        serialize_i32(i32),
        serialize_i64(i64),
        serialize_u8(u8),
        serialize_u16(u16),
        serialize_u32(u32),
        serialize_u64(u64),
        serialize_f32(f32),
        serialize_f64(f64),
        serialize_char(char),
        serialize_str(&str),
        serialize_bytes(&[u8]),
        serialize_unit_struct(&'static str),
    );

    fn serialize_none(self) -> Result<(), Error> {
        Ok(())
    }

    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Result<(), Error> {
        value.serialize(self)
    }

    fn serialize_unit(self) -> Result<(), Error> {
        Ok(())
    }

    fn serialize_unit_variant(self, name: &'static str, _: u32, variant: &'static str) -> Result<(), Error> {
        self.0.insert(format!("{name}::{variant}"));
        Ok(())
    }

    fn serialize_newtype_struct<T: Serialize + ?Sized>(self, _: &'static str, value: &T) -> Result<(), Error> {
        value.serialize(self)
    }

    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        name: &'static str,
        _: u32,
        variant: &'static str,
        value: &T,
    ) -> Result<(), Error> {
        self.0.insert(format!("{name}::{variant}"));
        value.serialize(self)
    }

    of_parts!(nameless: serialize_seq(Option<usize>), serialize_tuple(usize), serialize_map(Option<usize>));
    of_parts!(named: serialize_tuple_struct, serialize_struct);
    of_parts!(variants: serialize_tuple_variant, serialize_struct_variant);
}

/// The traits for parts that stand in a row.
macro_rules! rows {
    ($($trait:ident $method:ident),+ $(,)?) => {$(
        impl ser::$trait for Parts<'_> {
            type Ok = ();
            type Error = Error;

            fn $method<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Error> {
                self.part(value)
            }

            fn end(self) -> Result<(), Error> {
                Ok(())
            }
        }
    )+};
}

rows!(
    SerializeSeq serialize_element,
    SerializeTuple serialize_element,
    SerializeTupleStruct serialize_field,
    SerializeTupleVariant serialize_field,
);

/// The traits for fields with a name.
macro_rules! fields {
    ($($trait:ident),+ $(,)?) => {$(
        impl ser::$trait for Parts<'_> {
            type Ok = ();
            type Error = Error;

            fn serialize_field<T: Serialize + ?Sized>(&mut self, name: &'static str, value: &T) -> Result<(), Error> {
                self.field(name, value)
            }

            fn end(self) -> Result<(), Error> {
                Ok(())
            }
        }
    )+};
}

fields!(SerializeStruct, SerializeStructVariant);

impl ser::SerializeMap for Parts<'_> {
    type Ok = ();
    type Error = Error;

    fn serialize_key<T: Serialize + ?Sized>(&mut self, key: &T) -> Result<(), Error> {
        self.part(key)
    }

    fn serialize_value<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Error> {
        self.part(value)
    }

    fn end(self) -> Result<(), Error> {
        Ok(())
    }
}
